"use strict";
// Looks again each minute, and keeps what it shows without a network.
setInterval(() => fetch(location, { method: "HEAD" }).then((found) => found.ok && location.reload(), () => 0), 60000);
