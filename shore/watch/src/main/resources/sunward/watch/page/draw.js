// Small builders shared by the views. Every text from outside goes in as text, never as markup.

const SVG = 'http://www.w3.org/2000/svg';

/** An element: attributes, then children; texts become text nodes. */
export function make(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

/** The same for SVG. */
export function shape(tag, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), attributes, children);
}

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) element.setAttribute(name, value);
  }
  element.append(...children.flat().filter(child => child !== null && child !== undefined));
  return element;
}

/** Name and value pairs as a row of figures. */
export function facts(pairs) {
  return make('dl', { class: 'summary' }, pairs.map(([name, value]) =>
    make('div', {}, make('dt', {}, name), make('dd', {}, String(value)))));
}

/** A table; columns: [heading, row => text or element, isText]. */
export function table(caption, columns, rows) {
  return make('div', { class: 'scroll', role: 'region', 'aria-label': caption, tabindex: 0 }, make('table', {},
    make('caption', {}, caption),
    make('thead', {}, make('tr', {}, columns.map(([heading, , text]) => make('th', { scope: 'col', class: text ? `text ${text}` : null }, heading)))),
    make('tbody', {}, rows.map(row => make('tr', {}, columns.map(([, cell, text]) => {
      const value = cell(row);
      return make('td', { class: text ? `text ${text}` : null }, value instanceof Node ? value : String(value ?? ''));
    }))))));
}

/** A section with its heading. */
export function section(id, heading, ...children) {
  return make('section', { 'aria-labelledby': `h-${id}`, id }, make('h2', { id: `h-${id}` }, heading), ...children);
}

export function ago(utc, nowUtc) {
  const minutes = Math.round((Date.parse(nowUtc) - Date.parse(utc)) / 60000);
  if (minutes < 1) return 'just now';
  if (minutes < 120) return `${minutes} min ago`;
  return minutes < 2880 ? `${Math.round(minutes / 60)} h ago` : `${Math.round(minutes / 1440)} days ago`;
}

export function place(latitude, longitude) {
  if (latitude === null || longitude === null) return 'not known yet';
  return `${Math.abs(latitude).toFixed(3)}°\u00a0${latitude < 0 ? 'S' : 'N'} ${Math.abs(longitude).toFixed(3)}°\u00a0${longitude < 0 ? 'W' : 'E'}`;
}

function degrees(value, below, above) {
  return `${Math.abs(value)}°${value === 0 ? '' : ` ${value < 0 ? below : above}`}`;
}

let coast = null;

/** A plain longitude and latitude map with the floats on it. */
export async function map(floats) {
  if (coast === null) {
    const text = await (await fetch('coastline.txt')).text();
    coast = text.split('\n').filter(line => line && line[0] !== '#')
      .map(line => line.split(' ').map(point => point.split(',').map(Number)));
  }
  const places = floats.filter(one => one.latitude_deg !== null);
  const grid = [];
  for (let lon = -150; lon <= 150; lon += 30) grid.push(`M${lon} -85V85`);
  for (let lat = -60; lat <= 60; lat += 30) grid.push(`M-180 ${lat}H180`);
  const lines = coast.map(line => 'M' + line.map(([lon, lat]) => `${lon} ${-lat}`).join('L')).join('');
  return shape('svg', { class: 'map', viewBox: '-180 -85 360 170', role: 'group', 'aria-label': `Map with ${places.length} floats` },
    shape('path', { class: 'grid', d: grid.join('') }), shape('path', { class: 'coast', d: lines }),
    [-120, -60, 0, 60, 120].map(lon => shape('text', { class: 'degrees', x: lon + 1, y: 84 }, degrees(lon, 'W', 'E'))),
    [-60, -30, 0, 30, 60].map(lat => shape('text', { class: 'degrees', x: -179, y: -lat - 1 }, degrees(lat, 'S', 'N'))),
    places.map(one => shape('a', { href: `#/dive/${one.float_number}/${one.dive}`, 'aria-label': `Float ${one.float_number} at ${place(one.latitude_deg, one.longitude_deg)}` },
      shape('circle', { cx: one.longitude_deg, cy: -one.latitude_deg, r: 2.4 }),
      places.length > 40 ? null : shape('text', { x: one.longitude_deg + 3.4, y: -one.latitude_deg + 1.8 }, String(one.float_number)))));
}

const LINES = [
  { stroke: '#14466b', dash: [] }, { stroke: '#9c4a12', dash: [9, 5] }, { stroke: '#1c2530', dash: [2, 4] }, { stroke: '#a86200', dash: [14, 4, 3, 4] },
];

/** A number on an axis; on a logarithmic one small decades as powers, so that none is rounded to nothing. */
function tickText(tick, log) {
  if (tick === null) return '';
  const power = Math.round(Math.log10(Math.abs(tick)));
  if (!log || power > -4) return String(Number(tick.toPrecision(4)));
  return '10' + [...String(power)].map(digit => digit === '-' ? '⁻' : '⁰¹²³⁴⁵⁶⁷⁸⁹'[digit]).join('');
}

/**
 * Lines against one axis. series: [{label, values, low, high}]; low and high draw a band. options: log, a logarithmic axis of
 * values; down, x runs from the surface downwards as in the sea, and the values across; dots, a dot a value and no line.
 * Returns the plot's element; the values under the pointer are told below it.
 */
export function lines(label, xLabel, x, yLabel, series, options = {}) {
  const holder = make('div', { class: 'plot', role: 'img', 'aria-label': label });
  const readout = make('p', { class: 'readout', 'aria-live': 'polite' });
  const data = [x];
  const drawn = [{}];
  const bands = [];
  series.forEach((one, index) => {
    const style = LINES[index % LINES.length];
    if (one.low) {
      const at = data.length;
      data.push(one.high, one.low);
      drawn.push({ stroke: 'transparent', points: { show: false } }, { stroke: 'transparent', points: { show: false } });
      bands.push({ series: [at, at + 1], fill: style.stroke + '2b' });
    }
    data.push(one.values);
    drawn.push({ stroke: style.stroke, width: 2, dash: style.dash, label: one.label, spanGaps: false,
      ...(options.dots ? { paths: () => null, points: { show: true, size: 4, width: 0, fill: style.stroke } } : { points: { show: false } }) });
  });
  const axis = { font: '12px ui-sans-serif, system-ui, sans-serif', stroke: '#1c2530', grid: { stroke: '#e4e2da', width: 1 }, labelSize: 20 };
  const height = options.down ? 360 : 300;
  const beside = { size: (self, texts) => 21 + 7.6 * Math.max(3, ...(texts ?? []).map(text => text.length)) };
  const below = { size: 34, space: options.down ? 72 : 50 };
  const values = (self, ticks) => ticks.map(tick => tickText(tick, options.log));
  const plot = new uPlot({
    width: 520, height, legend: { show: false }, bands, series: drawn,
    scales: { x: { time: false, ...(options.down ? { ori: 1, dir: -1 } : {}) }, y: { ...(options.log ? { distr: 3 } : {}), ...(options.down ? { ori: 0, dir: 1 } : {}) } },
    cursor: { x: !options.down, y: Boolean(options.down), points: { show: false } },
    axes: [{ ...axis, ...(options.down ? { ...beside, side: 3 } : below), label: xLabel }, { ...axis, ...(options.down ? { ...below, side: 2 } : beside), label: yLabel, values }],
    hooks: { setCursor: [self => {
      const at = self.cursor.idx;
      readout.textContent = at === null || at === undefined ? '' : `${xLabel} ${x[at]}: ` + series
        .map(one => `${one.label} ${one.values[at] === null ? 'no value' : one.values[at].toPrecision(4)}`).join('; ');
    }] },
  }, data, holder);
  new ResizeObserver(() => { if (holder.clientWidth > 0) plot.setSize({ width: holder.clientWidth, height }); }).observe(holder);
  holder.plotData = data;
  return make('div', {}, holder, readout);
}

/** What the line styles mean, for two or more series. */
export function lineKey(labels) {
  const looks = ['', 'dashed', 'dotted', 'broken'];
  return make('p', { class: 'legend' }, labels.map((label, index) =>
    make('span', {}, make('i', { class: `line ${looks[index % looks.length]}` }), label)));
}
