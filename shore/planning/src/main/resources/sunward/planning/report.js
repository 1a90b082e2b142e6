"use strict";
(() => {
const D = JSON.parse(document.getElementById("data").textContent);
const RAMP = JSON.parse(document.getElementById("colours").textContent);
const INK = "#1c2530", SOFT = "#55606c", RULE = "#e4e2db", PAPER = "#fdfcf9", RESULT = "#14466b", BAND = "#14466b2b", TRUTH = "#9c4a12";
const FONT = "12px ui-sans-serif, system-ui, sans-serif";
const RADIANCE = "W m\u207b\u00b2 nm\u207b\u00b9 sr\u207b\u00b9";
document.body.classList.toggle("simulated", D.simulated);

// ---- words, numbers, elements

const SUPER = { "-": "\u207b", 0: "\u2070", 1: "\u00b9", 2: "\u00b2", 3: "\u00b3", 4: "\u2074", 5: "\u2075", 6: "\u2076", 7: "\u2077", 8: "\u2078", 9: "\u2079" };
const power = n => "10" + String(n).split("").map(c => SUPER[c]).join("");
function num(x, digits = 3) {
  if (x === null || x === undefined || !isFinite(x)) return "\u2013";
  const size = Math.abs(x);
  if (x !== 0 && (size < 1e-3 || size >= 1e6)) {
    const e = Math.floor(Math.log10(size));
    return (x / 10 ** e).toFixed(digits - 1).replace("-", "\u2212") + "\u00d7" + power(e);
  }
  const places = x === 0 ? 0 : Math.max(0, digits - 1 - Math.floor(Math.log10(size)));
  return x.toFixed(Math.min(places, 6)).replace("-", "\u2212");
}
const fixed = (x, places) => x === null ? "\u2013" : x.toFixed(places).replace("-", "\u2212");
function el(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(attributes)) if (v !== null) e.setAttribute(k, v);
  e.append(...children);
  return e;
}
const host = name => document.querySelector(`[data-chart="${name}"]`);
const say = (node, text) => { node.closest("figure").querySelector(".readout").textContent = text; };
const finite = a => a.filter(x => x !== null);
const extent = a => { const f = finite(a); return f.length ? [Math.min(...f), Math.max(...f)] : [0, 1]; };
const nearest = (a, x) => a.reduce((best, v, i) => Math.abs(v - x) < Math.abs(a[best] - x) ? i : best, 0);

function table(place, caption, columns, rows) {
  const head = el("tr", {}, ...columns.map(c => el("th", { scope: "col", class: c.text ? "text" : null }, c.name)));
  const body = rows.map(r => el("tr", {}, ...r.map((v, i) => el("td", { class: columns[i].text ? "text" : null }, v))));
  document.querySelector(`[data-table="${place}"]`)
    .append(el("table", {}, el("caption", {}, caption), el("thead", {}, head), el("tbody", {}, ...body)));
}

// ---- canvases drawn by hand

function canvas(place, height, draw, label) {
  const c = el("canvas", { "aria-hidden": "true" });
  place.append(c);
  place.setAttribute("role", "img");
  place.setAttribute("aria-label", label);
  const paint = () => {
    const w = place.clientWidth, h = typeof height === "function" ? height(w) : height, dpr = Math.max(2, window.devicePixelRatio || 1);
    c.width = w * dpr; c.height = h * dpr; c.style.width = w + "px"; c.style.height = h + "px";
    const g = c.getContext("2d");
    g.scale(dpr, dpr); g.font = FONT; g.textBaseline = "middle"; g.lineJoin = "round";
    draw(g, w, h);
  };
  new ResizeObserver(paint).observe(place);
  paint();
  return paint;
}
function pattern(g, kind, front, back) {
  const p = document.createElement("canvas"), s = 16; p.width = p.height = s;
  const q = p.getContext("2d");
  q.fillStyle = back; q.fillRect(0, 0, s, s); q.strokeStyle = q.fillStyle = front; q.lineWidth = 2;
  const line = (x1, y1, x2, y2) => { q.beginPath(); q.moveTo(x1, y1); q.lineTo(x2, y2); q.stroke(); };
  if (kind === "rise" || kind === "cross") for (const d of [-s, 0, s]) line(d - 2, s + 2, d + s + 2, -2);
  if (kind === "fall" || kind === "cross") for (const d of [-s, 0, s]) line(d - 2, -2, d + s + 2, s + 2);
  if (kind === "level") { line(0, 4, s, 4); line(0, 12, s, 12); }
  if (kind === "upright") { line(4, 0, 4, s); line(12, 0, 12, s); }
  if (kind === "dots") for (const [x, y] of [[4, 4], [12, 12]]) { q.beginPath(); q.arc(x, y, 1.7, 0, 7); q.fill(); }
  const made = g.createPattern(p, "repeat");
  made.setTransform(new DOMMatrix().scale(0.5));
  return made;
}
// Said inside every picture too, so that it stays with a picture that is cut out of the page.
function mark(g, right, y) {
  if (!D.simulated) return;
  g.save(); g.font = "italic 11px ui-sans-serif, system-ui, sans-serif"; g.textAlign = "right"; g.textBaseline = "bottom"; g.fillStyle = "#7a4700"; g.fillText("simulated", right, y); g.restore();
}
// Tick labels with as many decimals as their step asks for.
function stepped(values) {
  const v = values.filter(t => t !== null);
  if (v.length < 2) return values.map(t => t === null ? "" : String(+t.toPrecision(4)));
  const places = Math.max(0, -Math.floor(Math.log10(Math.abs(v[1] - v[0])) + 1e-9));
  const quarter = Math.abs(v[1] - v[0]) * 10 ** places % 1 > 1e-6 ? 1 : 0;
  return values.map(t => t === null ? "" : fixed(t, Math.min(8, places + quarter)));
}
// Ticks of a logarithmic axis: every power of ten, with 2 and 5 between where there is room.
function decades(lo, hi) {
  const out = [], first = Math.round(Math.log10(lo)), last = Math.round(Math.log10(hi));
  for (let e = first; e <= last; e++) for (const m of last - first <= 3 ? [1, 2, 5] : [1]) if (m * 10 ** e <= hi * 1.0001) out.push(m * 10 ** e);
  return out;
}
const niceStep = (span, count) => {
  const raw = span / count, mag = 10 ** Math.floor(Math.log10(raw));
  return [1, 2, 5, 10].map(m => m * mag).find(s => s >= raw);
};
function ticks(lo, hi, count) {
  const step = niceStep(hi - lo, count), out = [];
  for (let v = Math.ceil(lo / step - 1e-9) * step; v <= hi + step * 1e-9; v += step) out.push(Math.abs(v) < step * 1e-9 ? 0 : v);
  return out;
}
function upright(g, text, x, y) { g.save(); g.translate(x, y); g.rotate(-Math.PI / 2); g.textAlign = "center"; g.fillText(text, 0, 0); g.restore(); }

// ---- line charts

const charts = {};
function lines(name, o) {
  const place = host(name);
  if (!finite(o.series[0].y).length) { place.append(el("p", {}, "No values.")); return; }
  const series = [{}], data = [o.x];
  const add = (y, s) => { data.push(y); series.push(s); return series.length - 1; };
  const bands = (o.bands || []).map(b => {
    const plain = { stroke: b.edge || "transparent", width: 0.7, points: { show: false } };
    const high = add(b.high, plain), low = add(b.low, plain);
    return { series: [high, low], fill: b.fill };
  });
  for (const s of o.series) add(s.y, s.dots ? { stroke: s.stroke, paths: () => null, points: { show: true, size: 2.4, fill: s.stroke, width: 0 } }
    : { stroke: s.stroke, width: s.width || 1.8, dash: s.dash, points: { show: false }, spanGaps: false });
  const vertical = !!o.vertical;
  const grid = { stroke: RULE, width: 1 }, tick = { stroke: RULE, width: 1, size: 5 };
  const axis = (scale, side, label, size, extra) => Object.assign(
    { scale, side, label, labelFont: FONT, labelSize: 20, font: FONT, stroke: INK, grid, ticks: tick, size, gap: 4 }, extra);
    const logText = (u, v) => v.map(t => Math.min(...v) < 1e-3 ? power(Math.round(Math.log10(t))) : String(+t.toPrecision(1)));
  const yExtra = o.log ? { splits: (u, i, lo, hi) => decades(lo, hi), filter: (u, splits) => splits, values: logText } : { values: (u, v) => stepped(v) };
  const [lo, hi] = extent(o.x);
  const u = new uPlot({
    width: place.clientWidth || 320, height: o.height || 270, pxAlign: 0,
    padding: [16, vertical ? 10 : 14, 0, 0],
    legend: { show: false },
    cursor: { drag: { x: false, y: false }, points: { size: 7 }, sync: o.sync ? { key: o.sync, setSeries: false } : undefined },
    scales: {
      x: { time: false, ori: vertical ? 1 : 0, dir: vertical ? -1 : 1, range: o.xRange || [lo, hi] },
      y: { ori: vertical ? 0 : 1, dir: o.down ? -1 : 1, distr: o.log ? 3 : 1, range: o.yRange || ((u, a, b) => o.log ? [10 ** Math.floor(Math.log10(a)), 10 ** Math.ceil(Math.log10(b))] : uPlot.rangeNum(a, b, 0.08, true)) }
    },
    axes: vertical
      ? [axis("x", 3, o.xLabel, 44, { values: (u, v) => stepped(v) }), axis("y", 2, o.yLabel, 32, Object.assign({ space: 40 }, yExtra))]
      : [axis("x", 2, o.xLabel, o.xLabel ? 32 : 18, { values: o.xTicks || ((u, v) => stepped(v)), space: 56 }), axis("y", 3, o.yLabel, 56, yExtra)],
    series, bands,
    hooks: {
      draw: [u => {
        if (o.zero) level(u, 0, "y");
        const dpr = u.ctx.canvas.width / (u.ctx.canvas.clientWidth || u.width);
        u.ctx.save(); u.ctx.scale(dpr, dpr); mark(u.ctx, (u.bbox.left + u.bbox.width) / dpr, u.bbox.top / dpr - 1); u.ctx.restore();
      }],
      setCursor: [u => { const i = u.cursor.idx; if (i !== null && i !== undefined && (u.cursor.left >= 0 || u.cursor.event)) say(place, o.read(i)); }]
    }
  }, data, place);
  charts[name] = u;
  place.tabIndex = 0;
  place.setAttribute("role", "img");
  place.setAttribute("aria-label", o.label);
  let at = 0;
  place.addEventListener("keydown", e => {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
    if (!step) return;
    e.preventDefault();
    at = Math.max(0, Math.min(o.x.length - 1, (u.cursor.idx ?? at) + step));
    const p = u.valToPos(o.x[at], "x");
    u.setCursor(vertical ? { left: 10, top: p } : { left: p, top: 10 });
    say(place, o.read(at));
  });
  new ResizeObserver(() => { if (place.clientWidth && place.clientWidth !== u.width) u.setSize({ width: place.clientWidth, height: u.height }); }).observe(place);
  if (o.legend) place.after(legend(o));
}
function legend(o) {
  const box = el("div", { class: "legend" });
  const sample = paint => { const c = el("canvas", { width: 56, height: 24, style: "width:28px;height:12px", "aria-hidden": "true" }); const g = c.getContext("2d"); g.scale(2, 2); paint(g); return c; };
  for (const s of o.series) if (s.name) box.append(el("span", {}, sample(g => { g.strokeStyle = s.stroke; g.lineWidth = s.width || 1.8; g.setLineDash(s.dash || []); g.beginPath(); g.moveTo(0, 6); g.lineTo(28, 6); g.stroke(); }), s.name));
  for (const b of o.bands || []) if (b.name) box.append(el("span", {}, sample(g => { g.fillStyle = b.fill; g.fillRect(0, 1, 28, 10); }), b.name));
  return box;
}
function level(u, value, scale) {
  const y = u.valToPos(value, scale, true), g = u.ctx;
  g.save(); g.strokeStyle = INK; g.lineWidth = devicePixelRatio; g.beginPath(); g.moveTo(u.bbox.left, y); g.lineTo(u.bbox.left + u.bbox.width, y); g.stroke(); g.restore();
}

// ---- 1: head of the page

const facts = (id, list) => {
  const place = document.getElementById(id);
  for (const f of list) {
    const parts = [el("dt", {}, f.name), el("dd", {}, f.value, ...(f.note ? [" ", el("small", {}, f.note)] : []))];
    if (id === "summary") place.append(el("div", {}, ...parts)); else place.append(...parts);
  }
};
facts("summary", D.summary);
facts("provenance", D.provenance);
document.getElementById("reasons").append(...D.reasons.map(r => el("li", {}, r)));

// ---- 2: radiance by depth and wavelength

(() => {
  const P = D.picture, place = host("picture"), rows = P.topM.length, columns = P.wavelengthNm.length;
  const all = P.lu.flat().filter(x => x !== null && x > 0).map(Math.log10).sort((a, b) => a - b);
  if (!all.length) { place.append(el("p", {}, "No radiance: see the reasons below.")); return; }
  const top = Math.ceil(all[all.length - 1] * 2) / 2, bottom = Math.max(Math.floor(all[Math.floor(all.length * 0.005)]), top - 9);
  const colour = v => RAMP[Math.max(0, Math.min(RAMP.length - 1, Math.round((Math.log10(v) - bottom) / (top - bottom) * (RAMP.length - 1))))];
  const edge = i => i === 0 ? 1.5 * P.wavelengthNm[0] - 0.5 * P.wavelengthNm[1] : i === columns ? 1.5 * P.wavelengthNm[columns - 1] - 0.5 * P.wavelengthNm[columns - 2] : 0.5 * (P.wavelengthNm[i - 1] + P.wavelengthNm[i]);
  const wl0 = edge(0), wl1 = edge(columns), deepest = Math.max(...P.bottomM);
  const M = { left: 54, right: 20, top: 16, bottom: 96 };
  let geo = null, cursor = null, labels = [];
  const paint = canvas(place, w => w < 600 ? 520 : 560, (g, w, h) => {
    const pw = w - M.left - M.right, ph = h - M.top - M.bottom;
    const X = nm => M.left + (nm - wl0) / (wl1 - wl0) * pw, Y = d => M.top + Math.sqrt(Math.max(0, d) / deepest) * ph;
    geo = { X, Y, pw, ph };
    const hatch = pattern(g, "rise", "#b9b4a6", PAPER), dots = pattern(g, "dots", "#8b98a6", RAMP[0]);
    g.fillStyle = hatch; g.fillRect(M.left, M.top, pw, ph);
    for (let r = 0; r < rows; r++) {
      const y = Y(P.topM[r]), dy = Y(P.bottomM[r]) - y + 0.35;
      for (let c = 0; c < columns; c++) {
        const v = P.lu[r][c];
        if (v === null) continue;
        g.fillStyle = v > 0 ? colour(v) : dots;
        const x = X(edge(c));
        g.fillRect(x, y, X(edge(c + 1)) - x + 0.35, dy);
      }
    }
    g.textAlign = "center";
    labels = [];
    for (let e = Math.ceil(bottom); e <= top; e++) isoline(g, e, X, Y, pw);
    g.strokeStyle = INK; g.lineWidth = 1; g.strokeRect(M.left, M.top, pw, ph);
    mark(g, M.left + pw, M.top - 1);
    g.fillStyle = INK; g.textAlign = "center";
    for (const t of ticks(wl0, wl1, pw / 80)) { g.fillRect(X(t), M.top + ph, 1, 5); g.fillText(t, X(t), M.top + ph + 14); }
    g.fillText("wavelength, nm", M.left + pw / 2, M.top + ph + 32);
    g.textAlign = "right";
    for (const d of [0, 1, 5, 10, 20, 50, 100, 150, 200, 300, 400, 600, 800].filter(d => d <= deepest)) { g.fillRect(M.left - 5, Y(d) - 0.5, 5, 1); g.fillText(d, M.left - 8, Y(d)); }
    upright(g, "depth, m", 12, M.top + ph / 2);
    const bw = Math.min(420, pw), bx = M.left + (pw - bw) / 2, by = h - 42;
    for (let i = 0; i < RAMP.length; i++) { g.fillStyle = RAMP[i]; g.fillRect(bx + i / RAMP.length * bw, by, bw / RAMP.length + 0.6, 12); }
    g.strokeStyle = INK; g.strokeRect(bx, by, bw, 12); g.fillStyle = INK; g.textAlign = "center";
    for (let e = Math.ceil(bottom); e <= top; e++) { const x = bx + (e - bottom) / (top - bottom) * bw; g.fillRect(x, by + 12, 1, 4); g.fillText(power(e), x, by + 24); }
    g.textAlign = "left"; g.fillText("Lu, " + RADIANCE, bx, by - 10);
    if (cursor) { const x = X(P.wavelengthNm[cursor.c]), y = Y((P.topM[cursor.r] + P.bottomM[cursor.r]) / 2); g.strokeStyle = PAPER; g.lineWidth = 3; ring(); g.strokeStyle = INK; g.lineWidth = 1.3; ring(); function ring() { g.beginPath(); g.arc(x, y, 6, 0, 7); g.stroke(); } }
  }, `Upwelling radiance by depth, 0 to ${num(deepest)} metres, and wavelength, ${num(wl0)} to ${num(wl1)} nanometres, on a logarithmic scale of one colour. Arrow keys read single values.`);
  // The depth at which a column passes a power of ten, from the surface down; broken where cells are missing.
  function isoline(g, exponent, X, Y, pw) {
    const points = [];
    for (let c = 0; c < columns; c++) {
      let found = null;
      for (let r = 0; r + 1 < rows && found === null; r++) {
        const a = P.lu[r][c], b = P.lu[r + 1][c];
        if (!(a > 0) || !(b > 0)) continue;
        const la = Math.log10(a), lb = Math.log10(b);
        if (la >= exponent && lb < exponent) {
          const da = (P.topM[r] + P.bottomM[r]) / 2, db = (P.topM[r + 1] + P.bottomM[r + 1]) / 2;
          found = da + (la - exponent) / (la - lb) * (db - da);
        }
      }
      points.push(found);
    }
    const dark = (exponent - bottom) / (top - bottom) < 0.5;
    g.strokeStyle = g.fillStyle = dark ? "#f4f2ea" : INK; g.lineWidth = 0.8;
    g.beginPath();
    let last = null, best = null, run = [];
    points.forEach((d, c) => {
      if (d === null) { last = null; run = []; return; }
      const x = X(P.wavelengthNm[c]), y = Y(d);
      if (last !== null && Math.abs(y - last) < 40) g.lineTo(x, y); else { g.moveTo(x, y); run = []; }
      run.push([x, y]); last = y;
      if (run.length > (best ? best.length : 3)) best = run.slice();
    });
    g.stroke();
    const free = best && best[best.length - 1][0] - best[0][0] > 46
      ? [0.5, 0.35, 0.65, 0.2, 0.8].map(s => best[Math.floor(best.length * s)]).find(([x, y]) => labels.every(([lx, ly]) => Math.abs(x - lx) > 34 || Math.abs(y - ly) > 15)) : null;
    if (free) {
      const [x, y] = free;
      labels.push(free);
      g.save(); g.lineWidth = 3.5; g.strokeStyle = dark ? RAMP[Math.round((exponent - bottom) / (top - bottom) * (RAMP.length - 1))] : PAPER; g.strokeText(power(exponent), x, y); g.fillText(power(exponent), x, y); g.restore();
    }
  }
  const read = () => {
    const { r, c } = cursor, v = P.lu[r][c];
    const where = `${fixed(P.wavelengthNm[c], 1)} nm, ${fixed(P.topM[r], 1)} to ${fixed(P.bottomM[r], 1)} m: `;
    say(place, where + (v === null ? (P.cause[r] || "no value") : v > 0 ? `${num(v)} ${RADIANCE}` : "lost in its own noise") + (P.heads[r] ? `, head ${P.heads[r]}` : ""));
    paint();
  };
  place.tabIndex = 0;
  place.addEventListener("pointermove", e => {
    const box = place.getBoundingClientRect(), x = e.clientX - box.left, y = e.clientY - box.top;
    if (x < M.left || x > M.left + geo.pw || y < M.top || y > M.top + geo.ph) return;
    const d = ((y - M.top) / geo.ph) ** 2 * deepest, r = P.bottomM.findIndex(b => d < b);
    if (r >= 0) { cursor = { r, c: nearest(P.wavelengthNm, wl0 + (x - M.left) / geo.pw * (wl1 - wl0)) }; read(); }
  });
  place.addEventListener("keydown", e => {
    const move = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowDown: [1, 0], ArrowUp: [-1, 0] }[e.key];
    if (!move) return;
    e.preventDefault();
    cursor = cursor ? { r: Math.max(0, Math.min(rows - 1, cursor.r + move[0])), c: Math.max(0, Math.min(columns - 1, cursor.c + move[1])) } : { r: 0, c: 0 };
    read();
  });
})();

// ---- 3: spectra

(() => {
  const S = D.spectra, nm = i => fixed(S.wavelengthNm[i], 1) + " nm: ";
  const above = x => x > 0 ? x : null;
  const common = { x: S.wavelengthNm, xLabel: "wavelength, nm", legend: true };
  const spectrum = (name, symbol, log, y, low, high, truth, what) => lines(name, Object.assign({
    log,
    yLabel: `${symbol}, ${RADIANCE}`,
    bands: [{ high, low, fill: BAND, name: "95 % interval" }],
    series: [{ y, stroke: RESULT, name: "decoded" }, { y: truth, stroke: TRUTH, dash: [7, 4], width: 1.4, name: "truth" }],
    label: `${what} against wavelength with its 95 percent interval and the truth; the table below holds the values.`,
    read: i => nm(i) + (y[i] === null ? (S.note[i] || "no value") : `${num(y[i])} (${num(low[i])} to ${num(high[i])})`) + `, truth ${num(truth[i])} ${RADIANCE}`
  }, common));
  spectrum("lw", "Lw", false, S.lw, S.lwLow95, S.lwHigh95, S.lwTrue, "Water-leaving radiance");
  spectrum("lu0", "Lu(0\u2212)", true, S.lu0.map(above), S.lu0Low95.map(above), S.lu0High95, S.lu0True, "Upwelling radiance just below the surface");
  const half = S.halfWidthPercent, limit = Math.min(60, Math.max(5, 1.6 * Math.max(...S.wavelengthNm.map((w, i) => w > 400 && w < 680 && half[i] !== null ? half[i] : 0))));
  lines("error", Object.assign({
    yLabel: "percent of the truth", yRange: [-limit, limit],
    bands: [{ high: half, low: half.map(h => h === null ? null : -h), fill: BAND, edge: "#14466b66", name: "stated 95 % interval" }],
    series: [{ y: S.errorPercent.map((e, i) => half[i] === null || half[i] > limit ? null : e), stroke: RESULT, name: "error" }],
    zero: true,
    label: "Error of water-leaving radiance in percent of the truth within the stated interval; the table below holds the values.",
    read: i => nm(i) + `error ${fixed(S.errorPercent[i], 1)} %, stated \u00b1${fixed(half[i], 1)} %`
  }, common));
  lines("k", Object.assign({
    yLabel: "K, m\u207b\u00b9", log: true,
    series: [{ y: S.kLu.map(above), stroke: RESULT, name: "decoded" }, { y: S.kLuTrue.map(above), stroke: TRUTH, dash: [7, 4], width: 1.4, name: "truth" }],
    label: "Attenuation of upwelling radiance near the surface against wavelength; the table below holds the values.",
    read: i => nm(i) + `${num(S.kLu[i])}, truth ${num(S.kLuTrue[i])} m\u207b\u00b9`
  }, common));
  const u = RADIANCE;
  table("spectra", `Radiances in ${u}`,
    ["wavelength, nm", "Lw", "95 % from", "to", "truth", "error, %", "\u00b1 stated, %", "Lu(0\u2212)", "truth", "K, m\u207b\u00b9", "truth"].map(name => ({ name })).concat([{ name: "note", text: true }]),
    S.wavelengthNm.map((w, i) => [fixed(w, 2), num(S.lw[i]), num(S.lwLow95[i]), num(S.lwHigh95[i]), num(S.lwTrue[i]), fixed(S.errorPercent[i], 1), fixed(half[i], 1), num(S.lu0[i]), num(S.lu0True[i]), num(S.kLu[i]), num(S.kLuTrue[i]), S.note[i] || ""]));
})();

// ---- 4: the scene

const G = D.geometry, minutes = G.timeS.map(t => t / 60), SHADE_DEG = 20;
const clock = m => fixed(Math.abs(m), 1) + " min before surfacing";
(() => {
  const C = D.scene, u = RADIANCE;
  facts("scene-facts", C.facts);
  section(C);
  const nm = i => fixed(C.wavelengthNm[i], 1) + " nm: ";
  lines("sky", { x: C.wavelengthNm, xLabel: "wavelength, nm", yLabel: "W m\u207b\u00b2 nm\u207b\u00b9", legend: true,
    series: [{ y: C.es, stroke: INK, name: "total" }, { y: C.direct, stroke: "#a86200", dash: [7, 4], width: 1.4, name: "direct" }, { y: C.diffuse, stroke: RESULT, dash: [2, 3], width: 1.6, name: "diffuse" }],
    label: "True downwelling irradiance above the surface, direct, diffuse and total, against wavelength.",
    read: i => nm(i) + `${num(C.es[i])}, direct ${num(C.direct[i])}, diffuse ${num(C.diffuse[i])} W m\u207b\u00b2 nm\u207b\u00b9` });
  lines("day", { x: minutes, xRange: [minutes[0], 0], xLabel: "minutes before surfacing", xTicks: (u, v) => v.map(t => String(Math.abs(t))), yLabel: "percent", height: 270,
    yRange: [0, Math.max(110, 10 * Math.ceil(Math.max(...finite(C.brightnessPercent)) / 10 + 0.5))],
    series: [{ y: C.brightnessPercent, stroke: "#a86200" }], label: "Irradiance above the surface against time.",
    read: i => `${clock(minutes[i])}: ${fixed(C.brightnessPercent[i], 0)} % of the clear sky's light at surfacing` });
  const [depths, read] = merged(C);
  const column = (name, truth, mine, label, unit, what) => lines(name, { vertical: true, x: depths, xLabel: "depth, m", yLabel: label, height: 420, xRange: [0, Math.max(...C.depthM)],
    series: [{ y: depths.map(z => at(C.depthM, truth, z)), stroke: TRUTH, dash: [7, 4], width: 1.4 }, { y: read.map(i => i === null ? null : mine[i]), stroke: RESULT, dots: true }], yRange: (u, a, b) => [Math.min(0, a), b * 1.05], label: what,
    read: i => `${num(depths[i])} m: true ${num(at(C.depthM, truth, depths[i]))}${read[i] === null ? "" : `, sent ${num(mine[read[i]])}`} ${unit}` });
  column("pigment", C.chlorophyll, C.readChlorophyll, "chlorophyll, mg m\u207b\u00b3", "mg m\u207b\u00b3", "Chlorophyll against depth, true and as sent.");
  const thousand = a => a.map(x => x === null ? null : 1000 * x);
  column("particles", thousand(C.backscatter), thousand(C.readBackscatter), "backscatter, 10\u207b\u00b3 m\u207b\u00b9", "10\u207b\u00b3 m\u207b\u00b9", "Backscatter of particles against depth, true and as sent.");
  const above = y => y.map(x => x > 1e-12 ? x : null), dashes = [[], [9, 3], [5, 3], [2, 3], [9, 3, 2, 3], [], [9, 3], [5, 3]];
  lines("depths", { x: C.wavelengthNm, xLabel: "wavelength, nm", yLabel: `Lu, ${u}`, log: true, height: 420, legend: true,
    yRange: (v, a, b) => [10 ** Math.max(Math.floor(Math.log10(a)), Math.ceil(Math.log10(b)) - 9), 10 ** Math.ceil(Math.log10(b))],
    series: C.luDepthM.map((z, k) => ({ y: above(C.lu[k]), stroke: RAMP[Math.round((0.72 - 0.66 * k / Math.max(1, C.luDepthM.length - 1)) * (RAMP.length - 1))], dash: dashes[k % dashes.length], width: 1.7, name: z === 0 ? "surface" : fixed(z, 0) + " m" })),
    label: "True upwelling radiance against wavelength at some depths.",
    read: i => nm(i) + C.luDepthM.map((z, k) => `${fixed(z, 0)} m ${num(C.lu[k][i], 2)}`).join(", ") });
  table("scene", "Plan fields of the scene", [{ name: "field", text: true }, { name: "here", text: true }, { name: "by default", text: true }],
    C.changes.length ? C.changes.map(f => [f.name, f.value, f.note]) : [["none: this is the default scene", "", ""]]);
  function at(x, y, where) {
    const i = x.findIndex(v => v > where);
    return i <= 0 ? (i === 0 || where === x[x.length - 1] ? y[i === 0 ? 0 : y.length - 1] : null) : y[i - 1] + (where - x[i - 1]) / (x[i] - x[i - 1]) * (y[i] - y[i - 1]);
  }
  // One axis for the sea's own levels and those of the readings.
  function merged(C) {
    const all = C.depthM.map(z => [z, null]).concat(C.readDepthM.map((z, i) => [z, i]).filter(p => p[0] >= 0)).sort((a, b) => a[0] - b[0]);
    return [all.map(p => p[0]), all.map(p => p[1])];
  }
  function section(C) {
    const deepest = Math.max(...C.depthM), zenith = D.geometry.sunZenithDeg, most = Math.max(...C.chlorophyll);
    canvas(host("section"), 420, (g, w, h) => {
      const sky = 130, left = 46, right = 10, ph = h - sky - 10, pw = w - left - right, Y = z => sky + Math.sqrt(Math.max(0, z) / deepest) * ph;
      const cover = C.cloudPercent / 100, night = zenith >= 90;
      const air = g.createLinearGradient(0, 0, 0, sky);
      air.addColorStop(0, night ? "#1d2734" : cover > 0.9 ? "#b4bcc4" : "#a9cdea"); air.addColorStop(1, night ? "#3b4a58" : "#eef4f7");
      g.fillStyle = air; g.fillRect(left, 0, pw, sky);
      // Share of the photons: a tenth every so deep, straight in logarithm between the depths that are known.
      const known = [[0, 0], [C.lightDepthM[0], 1], [C.lightDepthM[1], 2], [C.lightDepthM[2], 3]];
      const tenths = z => { let i = 1; while (i < 3 && z > known[i][0]) i++; const [a, b] = [known[i - 1], known[i]]; return a[1] + (z - a[0]) / Math.max(0.1, b[0] - a[0]); };
      for (let y = sky; y < sky + ph; y++) { const z = ((y - sky) / ph) ** 2 * deepest; g.fillStyle = RAMP[Math.max(0, Math.round((night ? 0 : 0.78 - 0.19 * Math.min(4, tenths(z))) * (RAMP.length - 1)))]; g.fillRect(left, y, pw, 1.5); }
      const foot = left + pw * 0.42, lean = Math.tan(Math.min(80, zenith) * Math.PI / 180), bent = Math.tan(Math.asin(Math.sin(Math.min(89, zenith) * Math.PI / 180) / 1.34));
      const sx = Math.min(left + pw - 20, foot + Math.min(lean * (sky - 28), pw * 0.5)), sy = sky - Math.min(sky - 22, (sx - foot) / Math.max(lean, 1e-3));
      g.strokeStyle = "#a86200"; g.lineWidth = 1.6; g.setLineDash([1, 5]); g.lineCap = "round";
      if (!night) { g.beginPath(); g.moveTo(sx, sy); g.lineTo(foot, sky); g.lineTo(foot - bent * 70, sky + 70); g.stroke(); g.setLineDash([]);
      g.beginPath(); g.arc(sx, Math.max(18, sy), 11, 0, 7); g.fillStyle = "#f0c04a"; g.fill(); g.strokeStyle = "#7a4700"; g.lineWidth = 1.3; g.stroke(); }
      g.setLineDash([]);
      const clouds = Math.round(cover * 14);
      g.fillStyle = "#ffffffd8"; g.strokeStyle = "#8a939c"; g.lineWidth = 0.8;
      for (let i = 0; i < clouds; i++) { const x = left + ((i * 0.618 + 0.13) % 1) * pw, y = 40 + (i * 29) % 40; g.save(); g.beginPath(); g.rect(left, 0, pw, sky); g.clip(); g.beginPath(); g.ellipse(x, y, 34, 9, 0, 0, 7); g.fill(); g.stroke(); g.restore(); }
      g.strokeStyle = INK; g.lineWidth = 1.4; g.beginPath();
      for (let x = 0; x <= pw; x += 2) { const y = sky + Math.min(9, 2.4 * C.waveHeightM) * Math.sin(x / 26) * 0.5; if (x) g.lineTo(left + x, y); else g.moveTo(left + x, y); }
      g.stroke();
      g.strokeStyle = "#ffffff"; g.lineWidth = 3; curve(); g.strokeStyle = "#2f6b2f"; g.lineWidth = 1.8; curve();
      function curve() { g.beginPath(); C.depthM.forEach((z, i) => { const x = left + 4 + C.chlorophyll[i] / most * pw * 0.3; if (i) g.lineTo(x, Y(z)); else g.moveTo(x, Y(z)); }); g.stroke(); }
      const label = (text, x, y, align) => { g.textAlign = align; g.fillStyle = "#fdfcf9d8"; const tw = g.measureText(text).width; g.fillRect(align === "right" ? x - tw - 4 : align === "center" ? x - tw / 2 - 4 : x - 4, y - 8, tw + 8, 16); g.fillStyle = INK; g.fillText(text, x, y); };
      C.lightDepthM.forEach((z, i) => { if (night || z > deepest * 0.999) return; g.strokeStyle = "#fdfcf9"; g.lineWidth = 1; g.setLineDash([4, 4]); g.beginPath(); g.moveTo(left, Y(z)); g.lineTo(left + pw, Y(z)); g.stroke(); g.setLineDash([]); label(["10 %", "1 %", "0.1 %"][i] + " of the light, " + fixed(z, z < 10 ? 1 : 0) + " m", left + pw - 8, Y(z), "right"); });
      const peak = C.chlorophyll.indexOf(most);
      label("chlorophyll " + num(most, 2) + " mg m\u207b\u00b3", Math.min(left + pw * 0.3 + 10, left + pw - 150), Math.max(sky + 12, Math.min(h - 20, Y(C.depthM[peak]) + (pw < 400 ? 26 : 0))), "left");
      label(night ? "the sun is down" : fixed(zenith, 0) + "\u00b0 from the zenith, azimuth " + fixed(Math.round(C.sunAzimuthDeg) % 360, 0) + "\u00b0", Math.min(Math.max(sx, left + 110), left + pw - 110), night ? 40 : 8 + (sy < 40 ? sy + 16 : 0), "center");
      const fx = left + pw * 0.66; // the float on its way: two arms on a hull
      g.strokeStyle = night ? PAPER : INK; g.lineWidth = 2; g.fillStyle = "#8a8f94"; const tilts = finite(G.tiltDeg), tilt = Math.sqrt(tilts.reduce((s, t) => s + t * t, 0) / Math.max(1, tilts.length));
      g.save(); g.translate(fx, sky + 44); g.rotate(tilt * Math.PI / 180); g.fillRect(-4, -16, 8, 46); g.strokeRect(-4, -16, 8, 46); g.beginPath(); g.moveTo(-30, 0); g.lineTo(30, 0); g.stroke(); for (const s of [-30, 30]) { g.beginPath(); g.arc(s, 0, 4, 0, 7); g.fillStyle = PAPER; g.fill(); g.stroke(); } g.restore();
      g.strokeStyle = INK; g.lineWidth = 1; g.strokeRect(left, 0.5, pw, sky + ph); g.fillStyle = INK; g.textAlign = "right";
      for (const d of [0, 1, 5, 10, 20, 50, 100, 150, 200, 300].filter(d => d <= deepest)) { g.fillRect(left - 5, Y(d) - 0.5, 5, 1); g.fillText(d, left - 8, Y(d)); }
      upright(g, "depth, m", 8, sky + ph / 2);
      mark(g, left + pw - 4, sky - 6);
    }, "The scene from the side: " + C.facts.map(f => `${f.name} ${f.value} ${f.note}`).join("; ") + ".");
  }
})();

// ---- 5: which head, when

const onAxis = G.arms.find(a => Math.abs(a.azimuthDeg) < 1);
const AXIS = "x axis" + (onAxis ? ` (arm ${onAxis.name})` : "");
const armName = i => i < 0 ? "none" : G.arms[i].name;
(() => {
  const place = host("above"), slider = document.getElementById("moment");
  const box = document.createElement("div");
  box.innerHTML = '<svg viewBox="-162 -162 324 324" role="img"></svg>';
  const svg = box.firstChild, make = (tag, a, text) => { const e = document.createElementNS(svg.namespaceURI, tag); for (const k in a) e.setAttribute(k, a[k]); if (text) e.textContent = text; return e; };
  place.append(svg);
  const longest = Math.max(...G.arms.map(a => a.lengthM)), scale = 92 / longest;
  const at = (deg, r) => [r * Math.sin(deg * Math.PI / 180), -r * Math.cos(deg * Math.PI / 180)];
  const wedge = (mid, half, r) => { const [x1, y1] = at(mid - half, r), [x2, y2] = at(mid + half, r); return `M0 0L${x1} ${y1}A${r} ${r} 0 0 1 ${x2} ${y2}Z`; };
  function draw(i) {
    svg.replaceChildren();
    const defs = make("defs", {}), p = make("pattern", { id: "shade", width: 7, height: 7, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" });
    p.append(make("rect", { width: 7, height: 7, fill: "#e9edf1" }), make("rect", { width: 2, height: 7, fill: "#8391a0" }));
    defs.append(p); svg.append(defs);
    const sun = G.sunAzimuthDeg[i], heading = G.headingDeg[i];
    svg.append(make("circle", { r: 128, fill: "none", stroke: "#b9b4a6" }));
    for (let a = 0; a < 360; a += 30) { const [x1, y1] = at(a, 128), [x2, y2] = at(a, a % 90 ? 123 : 119); svg.append(make("line", { x1, y1, x2, y2, stroke: "#8a8f94" })); }
    for (const [t, a] of [["N", 0], ["E", 90], ["S", 180], ["W", 270]]) { const [x, y] = at(a, 148); svg.append(make("text", { x, y: y + 4, class: "axis-text", "text-anchor": "middle" }, t)); }
    svg.append(make("path", { d: wedge(sun + 180, SHADE_DEG, 124), fill: "url(#shade)", stroke: "none" }));
    const [sx, sy] = at(sun, 128);
    for (const off of [-8, 0, 8]) { const [x1, y1] = at(sun + off, 112), [x2, y2] = at(sun + off * 1.7, 62); svg.append(make("line", { x1, y1, x2, y2, stroke: "#a86200", "stroke-width": 2, "stroke-dasharray": "0.5 5", "stroke-linecap": "round" })); }
    svg.append(make("circle", { cx: sx, cy: sy, r: 11, fill: "#f0c04a", stroke: "#7a4700", "stroke-width": 1.5 }));
    svg.append(make("text", { x: 160, y: 158, "text-anchor": "end", class: "axis-text", style: "fill:#7a4700;font-style:italic" }, D.simulated ? "simulated" : ""));
    G.arms.forEach((arm, k) => {
      const az = heading + arm.azimuthDeg, [x, y] = at(az, arm.lengthM * scale), used = G.preferred[i] === k;
      svg.append(make("line", { x1: 0, y1: 0, x2: x, y2: y, stroke: INK, "stroke-width": 3 }));
      svg.append(make("circle", { cx: x, cy: y, r: 11, fill: used ? RESULT : PAPER, stroke: INK, "stroke-width": 2 }));
      svg.append(make("text", { x, y: y + 4, "text-anchor": "middle", class: "axis-text", style: `fill:${used ? "#fff" : INK};font-weight:600` }, arm.name.slice(0, 3)));
    });
    svg.append(make("circle", { r: Math.max(7, G.hullRadiusM * scale), fill: "#8a8f94", stroke: INK, "stroke-width": 1.5 }));
    const [bx, by] = at(heading, Math.max(7, G.hullRadiusM * scale) + 9), [lx, ly] = at(heading - 40, 15), [rx, ry] = at(heading + 40, 15);
    svg.append(make("path", { d: `M${bx} ${by}L${lx} ${ly}L${rx} ${ry}Z`, fill: INK }));
    const text = `${clock(minutes[i])}, ${fixed(G.depthM[i], 1)} m: sun at ${fixed(sun, 0)}\u00b0, ${fixed(G.sunZenithDeg, 0)}\u00b0 from the zenith; ${AXIS} at ${fixed(heading, 0)}\u00b0; head in use ${armName(G.preferred[i])}; `
      + G.arms.map((a, k) => `${a.name} ${fixed(G.antisunDeg[k][i], 0)}\u00b0 from the anti-solar direction, loses ${fixed(G.lossPercent[k][i], 2)} % of the light at 555 nm`).join("; ") + ".";
    say(place, text);
    svg.setAttribute("aria-label", "Seen from above. " + text);
    slider.setAttribute("aria-valuetext", clock(minutes[i]));
  }
  slider.max = G.timeS.length - 1;
  slider.value = G.timeS.length - 1;
  slider.addEventListener("input", () => draw(+slider.value));
  draw(G.timeS.length - 1);

  const strip = host("strip"), M = { left: 50, right: 12, top: 16, bottom: 62 };
  let X = null;
  canvas(strip, 360, (g, w, h) => {
    const pw = w - M.left - M.right, ph = h - M.top - M.bottom - 26, [t0, t1] = [minutes[0], 0];
    X = m => M.left + (m - t0) / (t1 - t0) * pw;
    const Y = a => M.top + (180 - a) / 180 * ph;
    g.fillStyle = pattern(g, "rise", "#a9b3bd", "#eef1f3"); g.fillRect(M.left, Y(SHADE_DEG), pw, Y(0) - Y(SHADE_DEG));
    g.strokeStyle = RULE; g.fillStyle = INK; g.textAlign = "right"; g.lineWidth = 1;
    for (const a of [0, 45, 90, 135, 180]) { g.beginPath(); g.moveTo(M.left, Y(a)); g.lineTo(M.left + pw, Y(a)); g.stroke(); g.fillText(a, M.left - 6, Y(a)); }
    upright(g, "angle from the anti-solar direction, deg", 10, M.top + ph / 2);
    G.arms.forEach((arm, k) => {
      for (const thick of [false, true]) {
        g.strokeStyle = k === 0 ? RESULT : k === 1 ? TRUTH : INK; g.setLineDash(thick ? [] : k % 2 ? [4, 3] : []); g.lineWidth = thick ? 3.2 : 0.8;
        g.beginPath();
        let open = false;
        G.antisunDeg[k].forEach((a, i) => {
          if (a === null || (thick && G.preferred[i] !== k)) { open = false; return; }
          if (open) g.lineTo(X(minutes[i]), Y(Math.abs(a))); else g.moveTo(X(minutes[i]), Y(Math.abs(a)));
          open = true;
        });
        g.stroke();
      }
    });
    g.setLineDash([]);
    mark(g, M.left + pw, M.top - 1);
    const y = M.top + ph + 10;
    const inks = [RESULT, pattern(g, "rise", TRUTH, PAPER), pattern(g, "dots", INK, PAPER), INK];
    let from = 0;
    for (let i = 1; i <= minutes.length; i++) {
      if (i < minutes.length && G.preferred[i] === G.preferred[from]) continue;
      const x = X(minutes[from]), x2 = i < minutes.length ? X(minutes[i]) : X(0);
      if (G.preferred[from] >= 0) { g.fillStyle = inks[G.preferred[from]]; g.fillRect(x, y, x2 - x, 16); }
      g.strokeStyle = INK; g.lineWidth = 0.8; g.strokeRect(x, y, x2 - x, 16);
      if (x2 - x > 16) { g.font = "600 " + FONT; g.textAlign = "center"; const t = armName(G.preferred[from]), tw = g.measureText(t).width + 4; g.fillStyle = PAPER; g.fillRect((x + x2 - tw) / 2, y + 2, tw, 12); g.fillStyle = INK; g.fillText(t, (x + x2) / 2, y + 8.5); g.font = FONT; }
      from = i;
    }
    g.fillStyle = INK; g.textAlign = "center";
    for (const t of ticks(t0, t1, pw / 70)) { g.fillRect(X(t), y + 20, 1, 5); g.fillText(Math.abs(t), X(t), y + 34); }
    g.fillText("minutes before surfacing", M.left + pw / 2, y + 52);
  }, "Angle of each head from the anti-solar direction against time, and the preferred head; the slider beside it reads single moments.");
  strip.addEventListener("pointermove", e => {
    const x = e.clientX - strip.getBoundingClientRect().left, m = minutes[0] + (x - M.left) / (strip.clientWidth - M.left - M.right) * (0 - minutes[0]), i = nearest(minutes, m);
    say(strip, `${clock(minutes[i])}: ${G.arms.map((a, k) => `${a.name} ${fixed(Math.abs(G.antisunDeg[k][i]), 0)}\u00b0`).join(", ")}; in use ${armName(G.preferred[i])}`);
    slider.value = i; draw(i);
  });
  const box2 = el("div", { class: "legend" });
  G.arms.forEach((a, k) => { const c = el("canvas", { width: 56, height: 24, style: "width:28px;height:12px", "aria-hidden": "true" }), g = c.getContext("2d"); g.scale(2, 2); g.strokeStyle = k === 0 ? RESULT : k === 1 ? TRUTH : INK; g.setLineDash(k % 2 ? [4, 3] : []); g.lineWidth = 1.4; g.beginPath(); g.moveTo(0, 6); g.lineTo(28, 6); g.stroke(); box2.append(el("span", {}, c, "head " + a.name)); });
  strip.after(box2);
})();

// ---- 6: motion and cast

(() => {
  const common = { x: minutes, xRange: [minutes[0], 0], sync: "motion", height: 150, xTicks: (u, v) => v.map(() => ""),
    read: i => `${clock(minutes[i])}: ${num(G.depthM[i])} m, ${AXIS} at ${fixed(G.headingDeg[i], 0)}\u00b0, tilt ${fixed(G.tiltDeg[i], 1)}\u00b0` };
  const deepest = Math.max(...finite(G.depthM));
  lines("depth", Object.assign({ yLabel: "depth, m", down: true, yRange: [0, deepest], series: [{ y: G.depthM, stroke: INK }], label: "Depth of the heads against time." }, common));
  lines("heading", Object.assign({ yLabel: "heading, \u00b0", yRange: [0, 360], series: [{ y: G.headingDeg, stroke: RESULT, dots: true }], label: "True heading of the hull's x axis against time." }, common));
  lines("tilt", Object.assign({ yLabel: "tilt, \u00b0", xLabel: "minutes before surfacing", yRange: [0, Math.max(5, Math.ceil(Math.max(...finite(G.tiltDeg))))], series: [{ y: G.tiltDeg, stroke: RESULT, width: 1 }], label: "Tilt from the vertical against time." }, common, { height: 182, xTicks: (u, v) => v.map(t => String(Math.abs(t))) }));
  const C = D.cast, water = (name, y, label, what) => lines(name, { vertical: true, x: C.pressureDbar, y, xLabel: "pressure, dbar", yLabel: label, height: 470,
    series: [{ y, stroke: RESULT }], xRange: [0, Math.max(...C.pressureDbar, 1)], sync: "cast", label: what,
    read: i => `${num(C.pressureDbar[i])} dbar: ${fixed(C.temperatureDegC[i], 3)} \u00b0C, salinity ${fixed(C.practicalSalinity[i], 3)}` });
  if (C.pressureDbar.length) {
    water("temperature", C.temperatureDegC, "temperature, \u00b0C", "Temperature against pressure.");
    water("salinity", C.practicalSalinity, "practical salinity", "Practical salinity against pressure.");
  } else host("temperature").append(el("p", {}, "No temperature or salinity was received."));
})();

// ---- 7: messages and bytes

const REST = "#ebe8e0";
const USES = [...new Set(D.messages.map(m => m.block + (m.head ? ", head " + m.head : "")))];
const useOf = m => USES.indexOf(m.block + (m.head ? ", head " + m.head : ""));
const FILLS = [["plain", "#14466b", "#14466b"], ["rise", "#fdfcf9", "#6d8ba3"], ["fall", "#9c4a12", "#f0dcc8"], ["dots", "#1c2530", "#dfe5ea"], ["cross", "#55606c", "#fdfcf9"], ["level", "#7a4700", "#f6ead2"], ["upright", "#14466b", "#cbd8e2"], ["plain", "#55606c", "#a9b3bd"], ["level", "#fdfcf9", "#3b4a58"], ["dots", "#fdfcf9", "#9c4a12"]];
const fillOf = (g, i) => { const [kind, front, back] = FILLS[i % FILLS.length]; return pattern(g, kind, front, back); };
function swatch(fill) { const c = el("canvas", { width: 44, height: 24, style: "width:22px;height:12px", "aria-hidden": "true" }), g = c.getContext("2d"); g.scale(2, 2); g.fillStyle = typeof fill === "string" ? fill : fillOf(g, fill); g.fillRect(0, 0, 22, 12); g.strokeStyle = INK; g.strokeRect(0.5, 0.5, 21, 11); return c; }
(() => {
  const list = host("messages"), tallest = Math.max(...D.messages.map(m => m.bytes), 1);
  for (const m of D.messages) {
    const had = m.state === "received" || m.state === "repaired";
    const text = `message ${m.position}: ${m.block}${m.head ? ", head " + m.head : ""}, ${m.bytes} bytes, ${m.state}` + (m.sendings > 1 ? `, sent ${m.sendings} times` : "") + (m.copies > 1 ? `, came ${m.copies} times` : "") + (m.note ? `: ${m.note}` : "");
    const bar = el("div", { class: "bar", style: `height:${m.bytes / tallest * 100}%` });
    if (had) {
      const c = el("canvas", { width: 26, height: 184 }), g = c.getContext("2d");
      g.scale(2, 2 * 92 / (92 * m.bytes / tallest));
      g.fillStyle = fillOf(g, useOf(m)); g.fillRect(0, 0, 13, 92);
      const foot = m.overheadBytes / m.bytes * 92 * m.bytes / tallest;
      g.fillStyle = INK; g.fillRect(0, 92 * m.bytes / tallest - foot, 13, foot);
      bar.append(c);
    }
    list.append(el("li", { class: m.state, title: text, "aria-label": text }, el("div", { class: "box" }, bar), m.position % 5 === 0 ? String(m.position) : "\u00a0", el("div", { class: "extra" }, "\u2022".repeat(Math.max(0, m.copies - 1)))));
  }
  document.getElementById("message-legend").append(
    ...USES.map((u, i) => el("span", {}, swatch(i), u)), el("span", {}, swatch(INK), "header and seal"),
    el("span", {}, el("i", { class: "swatch", style: "border:1px dashed #1c2530" }), "lost"), el("span", {}, el("i", { class: "swatch", style: "border:2px dashed #1c2530;background:#dfe5ea" }), "made good by repair"),
    el("span", {}, el("i", { class: "swatch", style: "border:2px solid #1c2530;background:linear-gradient(to top right,transparent 45%,#1c2530 45% 55%,transparent 55%)" }), "spoilt on the way"), el("span", {}, "\u2022 came once more"));
  const parts = USES.map((u, i) => ({ name: u, fill: i, of: m => useOf(m) === i ? m.bytes - m.overheadBytes : 0 })).concat([{ name: "header and seal", fill: INK, of: m => m.overheadBytes }]);
  const sum = (p, had) => D.messages.filter(m => !had || m.state === "received" || m.state === "repaired").reduce((s, m) => s + p.of(m), 0);
  const sent = parts.map(p => sum(p, false)), got = parts.map(p => sum(p, true)), total = sent.reduce((a, b) => a + b, 0) || 1;
  canvas(host("bytes"), 92, (g, w) => {
    const left = 66, right = 8, pw = w - left - right;
    [["sent", sent], ["on shore", got]].forEach(([name, values], row) => {
      let x = left;
      const y = 6 + row * 38;
      g.fillStyle = INK; g.textAlign = "right"; g.fillText(name, left - 8, y + 12);
      values.forEach((v, i) => { const dx = v / total * pw; g.fillStyle = typeof parts[i].fill === "string" ? parts[i].fill : fillOf(g, parts[i].fill); g.fillRect(x, y, dx, 24); g.strokeStyle = INK; g.lineWidth = 0.8; g.strokeRect(x, y, dx, 24);
        const t = v.toLocaleString("en") + " B"; g.font = "600 " + FONT; const tw = g.measureText(t).width + 6;
        if (dx > tw + 8) { g.fillStyle = PAPER; g.fillRect(x + dx / 2 - tw / 2, y + 4, tw, 16); g.fillStyle = INK; g.textAlign = "center"; g.fillText(t, x + dx / 2, y + 12.5); }
        g.font = FONT; x += dx; });
    });
  }, "Bytes by use, sent and in hand on shore: " + parts.map((p, i) => `${p.name} ${sent[i]} sent, ${got[i]} on shore`).join("; ") + ".");
  table("messages", "In sending order", [{ name: "position" }, { name: "carries", text: true }, { name: "head", text: true }, { name: "bytes" }, { name: "state", text: true }, { name: "sendings" }, { name: "deliveries" }, { name: "first arrival after surfacing, s" }, { name: "note", text: true }],
    D.messages.map(m => [String(m.position), m.block, m.head, String(m.bytes), m.state, String(m.sendings), String(m.copies), fixed(m.arrivalS, 0), m.note]));
})();

// ---- 8: uncertainty

(() => {
  const B = D.budget;
  if (!B.wavelengthNm.length) { document.getElementById("f-budget").replaceChildren(el("p", {}, "No budget: radiance could not be made.")); return; }
  lines("total", { x: B.wavelengthNm, xLabel: "wavelength, nm", yLabel: "percent of Lw", log: true, series: [{ y: B.totalPercent, stroke: RESULT, name: "standard uncertainty (k = 1)" }], legend: true, height: 300,
    label: "Standard uncertainty of water-leaving radiance against wavelength.", read: i => `${fixed(B.wavelengthNm[i], 1)} nm: ${num(B.totalPercent[i])} %; largest: ${B.largest[i]}` });
  const share = B.wavelengthNm.map((w, i) => B.contributors.reduce((s, c) => s + (c.percent[i] || 0) ** 2, 0) || 1);
  const order = B.contributors, runs = [];
  B.totalPercent.forEach((t, i) => { if (t === null) return; if (i && B.totalPercent[i - 1] !== null && runs.length) runs[runs.length - 1].push(i); else runs.push([i]); });
  canvas(host("budget"), 300, (g, w, h) => {
    const M = { left: 50, right: 14, top: 16, bottom: 44 }, pw = w - M.left - M.right, ph = h - M.top - M.bottom, [w0, w1] = extent(B.wavelengthNm);
    const X = x => M.left + (x - w0) / (w1 - w0) * pw, Y = s => M.top + (1 - s) * ph;
    let base = B.wavelengthNm.map(() => 0);
    order.forEach((c, k) => {
      const top = base.map((b, i) => b + (c.percent[i] || 0) ** 2 / share[i]);
      g.beginPath();
      for (const run of runs) {
        run.forEach((i, j) => j ? g.lineTo(X(B.wavelengthNm[i]), Y(top[i])) : g.moveTo(X(B.wavelengthNm[i]), Y(top[i])));
        for (const i of run.slice().reverse()) g.lineTo(X(B.wavelengthNm[i]), Y(base[i]));
        g.closePath();
      }
      g.fillStyle = c.name.endsWith("smaller ones") ? REST : fillOf(g, k + 1); g.fill(); g.strokeStyle = INK; g.lineWidth = 0.7; g.stroke();
      base = top;
    });
    g.strokeStyle = INK; g.lineWidth = 0.8; g.strokeRect(M.left, M.top, pw, ph);
    mark(g, M.left + pw, M.top - 1);
    g.fillStyle = INK; g.textAlign = "right";
    for (const s of [0, 0.25, 0.5, 0.75, 1]) { g.fillRect(M.left - 4, Y(s), 4, 1); g.fillText(s * 100 + " %", M.left - 7, Y(s)); }
    g.textAlign = "center";
    for (const t of ticks(w0, w1, pw / 70)) { g.fillRect(X(t), M.top + ph, 1, 5); g.fillText(t, X(t), M.top + ph + 14); }
    g.fillText("wavelength, nm", M.left + pw / 2, M.top + ph + 34);
  }, "Share of each contributor in the variance of water-leaving radiance against wavelength; the table below names the largest.");
  document.getElementById("budget-legend").append(...order.map((c, i) => el("span", {}, swatch(c.name.endsWith("smaller ones") ? REST : i + 1), c.name)));
  const wanted = [340, 380, 412, 443, 490, 510, 555, 620, 670, 700, 750, 800].map(w => nearest(B.wavelengthNm, w)).filter((v, i, a) => a.indexOf(v) === i);
  table("budget", "Standard uncertainty of Lw, percent", [{ name: "wavelength, nm" }, { name: "total" }, { name: "three largest", text: true }, ...order.map(c => ({ name: c.name }))],
    wanted.map(i => [fixed(B.wavelengthNm[i], 1), num(B.totalPercent[i], 2), B.largest[i], ...order.map(c => num(c.percent[i], 2))]));
})();

// ---- 9: gaps

if (D.gaps.length) table("gaps", "Gaps in the profile", [{ name: "head", text: true }, { name: "from, dbar" }, { name: "to, dbar" }, { name: "cause", text: true }], D.gaps.map(x => [x.head, fixed(x.fromDbar, 1), fixed(x.toDbar, 1), x.cause]));
else document.querySelector('[data-table="gaps"]').append(el("p", {}, "No gap in the profile."));

// Closed tables would not be printed.
addEventListener("beforeprint", () => document.querySelectorAll("details").forEach(d => { d.open = d.querySelector("[data-table]") !== null; }));
document.body.dataset.ready = "yes";
})();
