"use strict";
// Looks again each minute, and keeps what it shows while there is no network.
setInterval(() => fetch(location, { method: "HEAD" }).then((found) => found.ok && location.reload(), () => 0), 60000);
