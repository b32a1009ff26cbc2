"""What every answer carries, also an error and a picture."""

from __future__ import annotations

POLICY: dict[str, str] = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' data: blob:",
    "connect-src": "'self'",
    "manifest-src": "'self'",
    "worker-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
}
"""The content security policy: nothing from elsewhere, nothing inline."""

HEADERS: dict[str, str] = {
    "content-security-policy": "; ".join(f"{name} {value}" for name, value in POLICY.items()),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "service-worker-allowed": "/",
    "permissions-policy": "camera=(self), geolocation=(), microphone=()",
}
NOT_KEPT: dict[str, str] = {"cache-control": "no-store"}
"""What all carries beside, but a file that is the same for everybody."""
