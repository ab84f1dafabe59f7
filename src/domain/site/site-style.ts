/** The style of a page of one's own: only clay has a colour, the frame is grey. */
export const SITE_STYLE = `@font-face{font-family:Title;src:url(title.woff2) format("woff2");font-weight:600;font-display:swap}
@font-face{font-family:Text;src:url(text.woff2) format("woff2");font-display:swap}
:root{--paper:#f9f9f9;--bench:#ababab;--line:#848484;--text:#181818;--quiet:#525252;--on-bench:#181818;color-scheme:light dark}
@media (prefers-color-scheme:dark){:root{--paper:#181818;--bench:#525252;--line:#848484;--text:#f9f9f9;--quiet:#ababab;--on-bench:#f9f9f9}}
*{box-sizing:border-box;font-variant-numeric:lining-nums tabular-nums}
body{margin:0;background:var(--paper);color:var(--text);font:20px/28px Text,system-ui,sans-serif}
header,main,footer{padding:0 16px;max-width:1304px;margin:0 auto}
header{padding-top:24px}
h1,h2{font-family:Title,Georgia,serif;font-weight:600;line-height:1.1;text-wrap:balance;margin:0 0 12px}
h1{font-size:40px}h2{font-size:28px;margin-top:32px}
p{margin:0 0 12px;max-width:68ch}
.quiet{color:var(--quiet);font-size:16px;line-height:24px}
a{color:inherit}
a:focus-visible,input:focus-visible,button:focus-visible,summary:focus-visible{outline:2px solid #000;box-shadow:0 0 0 4px #fff}
.ask{display:flex;flex-wrap:wrap;gap:16px;align-items:end;margin:16px 0}
.ask label{display:grid;gap:4px;font-size:16px}
input[type=search],button,input[type=color]{font:inherit;height:48px;border:1px solid var(--line);background:var(--paper);color:var(--text);padding:0 12px;min-width:96px}
input[type=color]{padding:4px}
summary{cursor:pointer;min-height:48px;display:flex;align-items:center;font:600 20px/28px Title,Georgia,serif;text-decoration:underline}
fieldset{border:0;padding:0;margin:0 0 16px;display:flex;flex-wrap:wrap;gap:4px 20px}
legend{font:600 20px/28px Title,Georgia,serif;padding:8px 0 4px}
fieldset label{display:inline-flex;align-items:center;gap:8px;min-height:44px}
fieldset input{width:24px;height:24px;accent-color:#525252}
fieldset i{width:28px;height:28px;display:inline-block;order:1}
.every{flex-basis:100%}
.file{display:grid;gap:4px;font-size:16px;margin:8px 0 16px}
#tiles{background:var(--bench);display:grid;grid-template-columns:repeat(auto-fill,minmax(136px,1fr));gap:24px 16px;padding:16px;margin:0 -16px}
.tile{display:block;text-decoration:none;color:var(--on-bench)}
.colour{display:block;height:96px;outline:1px solid var(--line);outline-offset:-1px;background:repeating-linear-gradient(135deg,#848484 0 2px,transparent 2px 10px)}
.tile .own{height:48px}
.name{display:block;margin-top:6px;font-size:16px;line-height:20px;overflow-wrap:anywhere}
.verdict{display:block;font-size:14px;line-height:20px}
.big{height:240px;margin:0 -16px}
.pieces{display:flex;background:var(--bench);margin:0 -16px;padding-top:8px;gap:12px}
.pieces span{display:flex;gap:2px}
.pieces b{flex:1;height:64px}
table{border-collapse:collapse;width:100%;max-width:720px;margin:16px 0}
th{text-align:left;font-weight:400;font-size:16px;color:var(--quiet)}
td,th{padding:8px 12px 8px 0;border-bottom:1px solid var(--line)}
td:first-child{font:600 28px/32px Title,Georgia,serif;width:72px}
.pair .colour{height:72px}
.pair{margin:0 -16px 12px}
footer{padding:32px 16px;font-size:16px;line-height:24px}
footer p{max-width:none}
@media (min-width:720px){header,main,footer{padding-left:40px;padding-right:40px}#tiles,.big,.pieces,.pair{margin-left:0;margin-right:0}}
`;
