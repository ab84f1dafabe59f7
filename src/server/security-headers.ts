/**
 * Headers of every answer. Nothing is taken from elsewhere, nothing may frame the page, no script or style
 * may stand in the page itself.
 * Source: CSP Level 3; Fetch (CORP); HTML (COOP); Permissions Policy; RFC 9111 (no-store)
 */
export const SECURITY_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': [
    "default-src 'none'",
    // The search for recipes has a kernel in WebAssembly; text is still never run as script.
    "script-src 'self' 'wasm-unsafe-eval'",
    "style-src 'self'",
    "img-src 'self' blob: data:",
    "font-src 'self'",
    "connect-src 'self'",
    "worker-src 'self'",
    "manifest-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; '),
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy':
    'camera=(self), microphone=(), geolocation=(), payment=(), usb=(), screen-wake-lock=(self)',
};

/** A file somebody brought in is never run as a page, whatever it says it is. */
export const FILE_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': "default-src 'none'; frame-ancestors 'none'; sandbox",
  'cache-control': 'private, max-age=31536000, immutable',
};
