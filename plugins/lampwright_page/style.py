"""The look of the page: one column of paper, light and dark, on a screen and on A4."""

from __future__ import annotations

from typing import Final

LIGHT: Final = "--paper:#fdfdfb;--ink:#1b1b1b;--faint:#5d5d5d;--rule:#c9c9c4;--mark:#ece9dd;--link:#0b4f8a"
DARK: Final = "--paper:#16181b;--ink:#e9e6df;--faint:#a9a59c;--rule:#3c4046;--mark:#2b2f35;--link:#8fc1f0"

STYLE: Final = f"""
:root{{color-scheme:light dark;{LIGHT}}}
@media (prefers-color-scheme:dark){{:root{{{DARK}}}}}
*{{box-sizing:border-box}}
body{{margin:0 auto;max-width:62rem;padding:1.5rem 1.25rem 4rem;background:var(--paper);color:var(--ink);
font:16px/1.5 system-ui,'Segoe UI','DejaVu Sans',sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:anywhere}}
h1{{font-size:1.7rem;line-height:1.2;margin:0}}
h2{{font-size:1.3rem;margin:2.5rem 0 .75rem;padding-bottom:.2rem;border-bottom:2px solid var(--ink)}}
h3{{font-size:1.15rem;margin:2rem 0 .25rem;padding-bottom:.15rem;border-bottom:1px solid var(--rule)}}
h4{{font-size:1rem;margin:1.25rem 0 .4rem}}
p{{margin:.4rem 0;max-width:48rem}}
a{{color:var(--link)}}
:focus-visible{{outline:3px solid var(--link);outline-offset:2px}}
:target{{scroll-margin-top:1rem}}
.quiet,caption,th{{color:var(--faint)}}
.caution{{border-left:3px solid var(--ink);padding-left:.75rem}}
.skip{{position:absolute;left:-99rem}} .skip:focus{{position:static}}
nav ol{{list-style:none;padding:0;margin:.5rem 0}} nav .names{{columns:7rem auto;margin-left:1.5rem}}
ul,ol{{padding-left:1.4rem}} li{{margin:.15rem 0}}
dl{{display:grid;grid-template-columns:max-content 1fr;gap:.1rem 1rem;margin:.4rem 0}}
dt{{color:var(--faint)}} dd{{margin:0}}
.wide{{overflow-x:auto}}
table{{border-collapse:collapse;font-size:.9rem;margin:.4rem 0}}
caption{{text-align:left;font-weight:600;padding:.2rem 0;color:var(--ink)}}
th{{text-align:left;font-weight:400}}
td,th{{padding:.2rem 1rem .2rem 0;border-bottom:1px solid var(--rule);vertical-align:top;overflow-wrap:normal}}
.number{{text-align:right}}
svg{{max-width:100%;height:auto}} .wide svg{{max-width:none}}
button,select,input{{font:inherit;color:inherit;background:var(--paper);border:1px solid var(--ink);border-radius:0;
padding:.15rem .6rem;min-height:1.75rem}}
button:hover{{background:var(--mark)}} button[aria-pressed=true]{{background:var(--ink);color:var(--paper)}}
.finding{{margin:1rem 0;padding-left:.75rem;border-left:3px solid var(--rule)}}
.finding.error{{border-left:6px double var(--ink)}}
.level{{font-weight:600}}
pre{{font:.85rem/1.45 ui-monospace,'DejaVu Sans Mono',monospace;margin:0;white-space:pre-wrap}}
.text{{display:grid;grid-template-columns:max-content 1fr;font:.85rem/1.45 ui-monospace,'DejaVu Sans Mono',monospace}}
.text a{{color:var(--faint);text-decoration:none;text-align:right;padding-right:1rem}}
.text .about{{background:var(--mark)}} .text span{{white-space:pre-wrap}}
.text .said{{grid-column:2;font-family:system-ui,sans-serif;text-align:left;color:var(--link);
text-decoration:underline}}
article{{content-visibility:auto;contain-intrinsic-size:auto 60rem}}
#diagram .wide{{margin-inline:calc(50% - 50vw + 1.25rem);text-align:center}}
footer{{margin-top:3rem;border-top:1px solid var(--rule);font-size:.9rem}}
@media (max-width:40rem){{body{{padding:1rem .75rem 3rem}} dl{{grid-template-columns:1fr}} dd{{margin-bottom:.3rem}}}}
@page{{size:A4;margin:15mm}}
@media print{{:root{{{LIGHT};color-scheme:light}}
body{{max-width:none;padding:0;font-size:10pt}} .screen,.skip,#printing{{display:none}}
h2,h3,h4,caption{{break-after:avoid}} h2{{break-before:auto}}
article{{content-visibility:visible}} article .besides{{break-after:avoid}}
article:not(:has(.steps)),article section:not([data-part=bench-card]),tr,.finding,figure,#diagram{{break-inside:avoid}}
.wide{{overflow:visible}} #diagram .wide{{margin:0}}
.wide svg{{max-width:100%;max-height:245mm}} a{{color:inherit;text-decoration:none}}
body[data-prints] [data-part]:not([data-chosen]),body[data-prints] .besides{{display:none}}
body[data-prints] article{{break-inside:avoid-page}}
}}
"""

PRINTING: Final = """
document.addEventListener("click", (event) => {
  const button = event.target.closest("button[data-prints]");
  if (!button) return;
  const chosen = document.querySelectorAll(`[data-part="${button.dataset.prints}"]`);
  for (const part of chosen) part.dataset.chosen = "";
  document.body.dataset.prints = button.dataset.prints;
  window.print();
  delete document.body.dataset.prints;
  for (const part of chosen) delete part.dataset.chosen;
});
"""
"""Puts one kind of part on paper by itself: the style does the rest."""
