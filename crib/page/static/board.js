"use strict";
// The board on the wall looks again each minute, and keeps what it shows while there is no network.
setInterval(() => fetch(location.href, { method: "HEAD" }).then((found) => found.ok && location.reload(), () => {}), 60000);
