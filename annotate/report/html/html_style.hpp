// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// The style sheet of the HTML report.
inline constexpr char kHtmlStyle[] = R"(
:root{color:#1d2125;background:#fff;font:15px/1.45 "Noto Sans",system-ui,sans-serif;font-variant-numeric:tabular-nums lining-nums}
body{max-width:940px;margin:0 auto;padding:2.5rem 1.25rem}
h1{font-size:2rem;margin:.1rem 0;line-height:1.15;overflow-wrap:anywhere}
h2{font-size:1.2rem;margin:0 0 .6rem}
h3{font-size:1rem;margin:1.2rem 0 .4rem}
h4{font-size:.95rem;margin:.2rem 0 .4rem}
p{margin:.25rem 0;white-space:pre-line;overflow-wrap:anywhere}
section{border-top:1px solid #d0d5d9;margin-top:2rem;padding-top:.8rem}
.overline,.small,.note,.facts dt,.method dt,figcaption,.none{color:#62696f;font-size:.82rem}
.frame{color:#62696f;font-size:.74rem;font-weight:normal}
a.frame{text-decoration:underline dotted}
.voice{font-family:"Noto Serif","Noto Serif Bengali","Noto Naskh Arabic",Georgia,serif;font-size:1.08rem}
.blank{border-bottom:1px dotted #62696f}
.facts{display:grid;grid-template-columns:repeat(auto-fit,minmax(220px,1fr));gap:.6rem 1.4rem;border-top:1px solid #d0d5d9;padding-top:.7rem;margin:.9rem 0 0}
.facts dd{margin:0;overflow-wrap:anywhere}
.words,.method{display:grid;grid-template-columns:11rem 1fr;gap:.4rem 1rem;border-top:1px solid #d0d5d9;padding-top:.8rem}
.words dt{font-weight:bold}
.words dd,.method dd{margin:0}
.method{border:0;padding:0}
table{border-collapse:collapse;width:100%}
th,td{text-align:start;vertical-align:baseline;padding:.22rem .6rem .22rem 0;font-weight:normal;overflow-wrap:anywhere}
thead th{color:#62696f;font-size:.76rem;border-bottom:1px solid #d0d5d9}
td.n{text-align:end;white-space:nowrap}
.value{font-weight:bold;white-space:nowrap}
.note{margin-inline-start:.6rem}
figure{margin:0}
img{display:block;width:100%;background:#1c1c1c}
.beside{display:grid;grid-template-columns:minmax(0,3fr) minmax(0,2fr);gap:1.4rem}
.moment{grid-template-columns:220px 1fr;margin:1.1rem 0}
.moment h3{margin-top:0}
.wide{max-width:640px}
.maps{display:grid;grid-template-columns:repeat(auto-fill,minmax(220px,1fr));gap:.8rem}
.scroll{overflow-x:auto}
.strip,.chart{width:100%;height:auto}
.chart{max-width:900px}
.chart text{font-family:"Noto Sans",system-ui,sans-serif}
.strip text{font:12px "Noto Sans",system-ui,sans-serif;fill:#1d2125}
.strip .tick{fill:#62696f;font-size:11px}
.strip .over{paint-order:stroke;stroke-width:5px}
.thin{stroke:#8a9197;stroke-width:.7;fill:none}
.range{width:150px;height:12px}
i{display:inline-block;vertical-align:middle;margin-inline-end:.5rem}
.checks i{width:.7rem;height:.7rem;border:1px solid #1d2125;box-sizing:border-box}
i.seen-done{background:#1d2125}
i.seen-not-done{background:linear-gradient(45deg,transparent 44%,#1d2125 44% 56%,transparent 56%),linear-gradient(-45deg,transparent 44%,#1d2125 44% 56%,transparent 56%)}
i.not-visible{background:linear-gradient(transparent 44%,#1d2125 44% 56%,transparent 56%)}
.checks i.not-reviewed{border-style:dashed;border-color:#62696f}
.cover i{width:1.6rem;height:0;border-top:3px solid #0072b2}
.cover i.bare{border-top:3px dashed #d55e00}
.cover i.uncertain{border-top:3px dotted #e69f00}
.cover i.hidden{border-top:1px solid #969696}
footer{border-top:1px solid #d0d5d9;margin-top:2rem;padding-top:.6rem}
@media (max-width:700px){.beside,.moment,.words,.method{grid-template-columns:1fr}.strip,.chart{min-width:640px}}
@media (max-width:560px){
body{padding:1.2rem 1rem}
.findings thead,.steps thead{display:none}
.findings tr,.steps tr{display:block;border-bottom:1px solid #eceef0;padding:.35rem 0}
.findings th,.steps th{display:block;padding:0}
.findings td,.steps td,td.n{display:inline-block;text-align:start;padding:0 .9rem 0 0}
.findings td:empty,.steps td:empty{display:none}
td[data-name]::before{content:attr(data-name) " ";color:#62696f;font-size:.76rem;font-weight:normal}
}
@media print{body{padding:0}section{break-inside:auto}figure,tr{break-inside:avoid}}
)";

}  // namespace afterscope
