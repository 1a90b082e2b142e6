import { lineKey, lines, make, section, shape, table } from './draw.js';

/** What the profile and the radiance of a dive look like. */
export function pictures(product, ramp) {
  const parts = [];
  if (product.surface !== null) parts.push(surface(product.surface), uncertainty(product.surface));
  const heads = product.heads.filter(head => head.rows.length > 0);
  if (heads.length > 0) parts.push(profile(heads, ramp), attitude(heads, product.layers));
  if (product.cast.pressure_dbar.length > 1) parts.push(cast(product.cast));
  parts.push(words(product));
  return parts;
}

function figure(id, content, caption) {
  return make('figure', { id }, content, make('figcaption', {}, caption));
}

function surface(view) {
  const x = view.wavelength_nm;
  const lacking = view.missing.filter(Boolean).length;
  return section('surface', 'What left the sea', make('div', { class: 'pair' },
    figure('f-lw', lines('Water-leaving radiance against wavelength', 'wavelength, nm', x, 'Lw, W m⁻² nm⁻¹ sr⁻¹',
      [banded(view, 'Lw', 'lw')]),
    `Water-leaving radiance Lw at nadir with its 95 % interval.${lacking ? ` No value at ${lacking} of ${x.length} wavelengths.` : ''}`),
    figure('f-lu0', lines('Radiance below the surface against wavelength', 'wavelength, nm', x, 'Lu(0−), W m⁻² nm⁻¹ sr⁻¹',
      [{ label: 'Lu(0−)', values: view.lu0.map(value => value > 0 ? value : null) }], { log: true }),
    'Upwelling radiance just below the surface, logarithmic. Its relative uncertainty is that of Lw.'),
    figure('f-k', lines('Attenuation against wavelength', 'wavelength, nm', x, 'K of Lu, m⁻¹', [banded(view, 'K', 'k_lu_per_m')]),
      'Attenuation of upwelling radiance near the surface with its 95 % interval.'),
    figure('f-rrs', lines('Reflectance against wavelength', 'wavelength, nm', x, 'Rrs, sr⁻¹', [banded(view, 'Rrs', 'rrs_per_sr')]),
      'Remote-sensing reflectance with its 95 % interval. It rests on a clear-sky model of the irradiance.')));
}

function banded(view, label, quantity) {
  return { label, values: view[quantity], low: view[`${quantity}_low_95`], high: view[`${quantity}_high_95`] };
}

/** Every source of the uncertainty of Lw, and how far more bins, more dives or another float would help. */
function uncertainty(view) {
  const budget = view.budget;
  const classes = view.u_lw_percent_by_class;
  const series = [{ label: 'all together', values: view.u_lw_percent }, ...Object.entries(classes).map(([words, values]) =>
    ({ label: words === 'random' ? 'new at every bin' : `the same over ${words}`, values }))]
    // Where Lw has no value its uncertainty has none, and a logarithm has no nought.
    .map(one => ({ ...one, values: one.values.map((value, index) => value > 0 && view.lw[index] !== null ? value : null) }));
  const columns = budget.wavelength_nm.map((nm, index) => [`${nm.toFixed(1)} nm`, row => percent(row, index, budget)]);
  const rows = [...budget.sources.filter(source => source.percent.some(value => value > 0)),
    { name: 'combined (root of the sum of squares)', same_over: '', percent: budget.combined_percent, total: true },
    { name: 'half width of the 95 % interval', same_over: '', percent: budget.half_width_percent, total: true }];
  return section('uncertainty', 'Where the uncertainty of Lw comes from',
    figure('f-u', make('div', {}, lines('Standard uncertainty of Lw against wavelength, by how long its errors stay the same', 'wavelength, nm', view.wavelength_nm, 'u(Lw), %', series, { log: true }), lineKey(series.map(one => one.label))),
      'Relative standard uncertainty of Lw, logarithmic. What is the same over one deployment does not shrink with more dives of the same float.'),
    table('Relative standard uncertainty of Lw by source, percent; the three largest of each wavelength stand out', [
      ['Source', row => row.total ? make('strong', {}, row.name) : row.name, 'source'], ...columns, ['The same over', row => row.same_over === 'random' ? 'one bin' : row.same_over, true]], rows));
}

function percent(row, index, budget) {
  if (budget.missing[index]) return make('span', { title: budget.missing[index] }, 'no value');
  const value = row.percent[index];
  const text = value === null ? 'no value' : value === 0 ? '0' : value < 0.005 ? '< 0.01' : value.toFixed(2);
  const larger = budget.sources.filter(source => source.percent[index] > value).length;
  return row.total || larger < 3 ? make('strong', {}, text) : text;
}

/** Radiance by depth and wavelength, a picture a head; the depth scale is stretched towards the surface. */
function profile(heads, ramp) {
  const values = heads.flatMap(head => head.rows.flatMap(row => row.values.filter(value => value > 0)));
  const top = Math.max(...values.slice(0, 1), ...chunks(values, Math.max));
  const bottom = Math.max(top * 1e-6, Math.min(...chunks(values, Math.min)));
  const deepest = Math.max(...heads.flatMap(head => head.rows.map(row => row.depth_m + row.half_height_m)));
  const quantity = heads.every(head => head.quantity === 'Lu') ? 'Upwelling radiance Lu, W m⁻² nm⁻¹ sr⁻¹' : `Dark-corrected ${heads[0].quantity}: there is no calibration for these messages`;
  return section('profile', 'Light from below, all the way up', make('div', { class: 'pair' }, heads.map(head =>
    figure(`f-picture-${head.name}`, picture(head, ramp, bottom, top, deepest),
      `Head ${head.name}: ${head.rows.length} bins.`))),
  make('p', { class: 'legend' }, make('span', {}, `${quantity}, from ${bottom.toPrecision(2)}`), scale(ramp), make('span', {}, `to ${top.toPrecision(2)} (logarithmic)`),
    make('span', {}, make('i', { class: 'swatch hatched' }), 'no value')));
}

function chunks(values, extreme) {
  const found = [];
  for (let at = 0; at < values.length; at += 5000) found.push(extreme(...values.slice(at, at + 5000)));
  return found;
}

function scale(ramp) {
  const strip = make('canvas', { width: 120, height: 12, 'aria-hidden': 'true' });
  const pen = strip.getContext('2d');
  for (let x = 0; x < 120; x++) { pen.fillStyle = ramp[Math.floor(x / 120 * ramp.length)]; pen.fillRect(x, 0, 1, 12); }
  return strip;
}

function picture(head, ramp, bottom, top, deepest) {
  const width = 560, height = 420, left = 58, foot = 40;
  const canvas = make('canvas', { width, height, role: 'img', tabindex: '0', 'aria-label': `${head.quantity} of head ${head.name} by depth and wavelength` });
  const readout = make('p', { class: 'readout', 'aria-live': 'polite' });
  const pen = canvas.getContext('2d');
  const y = depth => (height - foot) * Math.sqrt(Math.max(0, depth) / deepest);
  pen.fillStyle = '#fdfcf9';
  pen.fillRect(0, 0, width, height);
  pen.strokeStyle = '#b9b4a6';
  pen.beginPath();
  for (let x = left - height; x < width; x += 6) { pen.moveTo(x, height - foot); pen.lineTo(x + height, -foot); }
  pen.save(); pen.beginPath(); pen.rect(left, 0, width - left, height - foot); pen.clip();
  pen.beginPath();
  for (let x = left - height; x < width; x += 6) { pen.moveTo(x, height); pen.lineTo(x + height, 0); }
  pen.stroke(); pen.restore();
  const columns = head.rows[0].values.length;
  const columnWidth = (width - left) / columns;
  for (const row of head.rows) {
    const from = y(row.depth_m - row.half_height_m), to = y(row.depth_m + row.half_height_m);
    row.values.forEach((value, index) => {
      if (value === null) return;
      const share = value > 0 ? Math.log(value / bottom) / Math.log(top / bottom) : 0;
      pen.fillStyle = ramp[Math.max(0, Math.min(ramp.length - 1, Math.floor(share * ramp.length)))];
      pen.fillRect(left + index * columnWidth, from, columnWidth + 0.6, to - from + 0.8);
    });
  }
  axes(pen, head, { width, height, left, foot, y, deepest, columnWidth });
  const tell = index => {
    const row = head.rows[Math.max(0, Math.min(head.rows.length - 1, index))];
    const greatest = row.values.reduce((best, value, at) => value !== null && (best < 0 || value > row.values[best]) ? at : best, -1);
    readout.textContent = `${row.depth_m.toFixed(2)} m: brightest ${greatest < 0 ? 'nowhere' : `${row.values[greatest].toPrecision(3)}${head.columns_nm ? ` at ${head.columns_nm[greatest].toFixed(0)} nm` : ''}`}, tilt ${row.tilt_deg?.toFixed(1)}°`;
  };
  let at = 0;
  canvas.addEventListener('keydown', event => {
    if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      at = Math.max(0, Math.min(head.rows.length - 1, at + (event.key === 'ArrowDown' ? 1 : -1)));
      tell(at);
      event.preventDefault();
    }
  });
  canvas.addEventListener('pointermove', event => {
    const depth = deepest * (event.offsetY / canvas.clientHeight * height / (height - foot)) ** 2;
    at = head.rows.reduce((best, row, index) => Math.abs(row.depth_m - depth) < Math.abs(head.rows[best].depth_m - depth) ? index : best, 0);
    tell(at);
  });
  return make('div', { class: 'picture' }, canvas, readout);
}

function axes(pen, head, box) {
  pen.fillStyle = '#1c2530';
  pen.strokeStyle = '#1c2530';
  pen.font = '13px ui-sans-serif, system-ui, sans-serif';
  pen.strokeRect(box.left, 0.5, box.width - box.left - 0.5, box.height - box.foot);
  pen.textAlign = 'right';
  let last = -99;
  for (const depth of [0, 1, 2, 5, 10, 20, 50, 100, 150, 200, 250]) {
    const y = box.y(depth);
    if (depth > box.deepest || y - last < 16) continue;
    last = y;
    pen.fillText(`${depth} m`, box.left - 6, y + (depth === 0 ? 11 : 5));
  }
  pen.textAlign = 'center';
  if (head.columns_nm === null) {
    pen.fillText('sample, short wavelengths first', (box.left + box.width) / 2, box.height - 8);
    return;
  }
  const columns = head.columns_nm, end = columns.length - 1;
  for (let nm = 100 * Math.ceil(columns[0] / 100); nm <= columns[end]; nm += 100) {
    const above = Math.max(1, columns.findIndex(one => one >= nm));
    const column = above - (columns[above] - nm) / (columns[above] - columns[above - 1]);
    const x = box.left + (column + 0.5) * box.columnWidth;
    pen.beginPath(); pen.moveTo(x, box.height - box.foot); pen.lineTo(x, box.height - box.foot + 5); pen.stroke();
    pen.fillText(String(nm), Math.min(box.width - 14, x), box.height - box.foot + 18);
  }
  pen.fillText('wavelength, nm', (box.left + box.width) / 2, box.height - 4);
}

/** Tilt and where the heads stood, seen from above with north at the top. */
function attitude(heads, layers) {
  const rows = heads[0].rows;
  const drawing = shape('svg', { class: 'above', viewBox: '-130 -130 260 260', role: 'img' });
  const readout = make('p', { class: 'readout', 'aria-live': 'polite' });
  const slider = make('input', { type: 'range', min: 0, max: rows.length - 1, step: 1, value: 0, 'aria-label': 'Depth, from the surface down' });
  const turn = () => above(drawing, readout, heads, Number(slider.value));
  slider.addEventListener('input', turn);
  turn();
  const depths = rows.map(row => row.depth_m);
  const parts = [make('div', { class: 'pair' },
    figure('f-above', make('div', {}, drawing, make('label', { class: 'slider' }, 'Depth ', slider), readout),
      'The float from above, north at the top, as its bins tell it: the sun, the hull with its bow, and the arms. The grey wedge is water in the hull’s shadow.'),
    figure('f-tilt', lines('Tilt against depth', 'depth, m', depths, 'tilt, degrees', [{ label: 'tilt', values: rows.map(row => row.tilt_deg) }], { down: true, dots: true }),
      'Mean tilt of each bin, in the steps in which the float sends it.'))];
  if (layers.length > 0) {
    parts.push(table('Attitude by layer, as the float summed it up', [
      ['Pressure, dbar', one => `${one.from_dbar} to ${one.to_dbar ?? 'the deepest'}`, true], ['Readings', one => one.readings],
      ['Mean tilt', one => degrees(one.tilt_mean_deg, 1)], ['Its sd', one => degrees(one.tilt_sd_deg, 1)], ['Largest', one => degrees(one.tilt_most_deg, 1)],
      ['Mean heading', one => degrees(one.heading_deg, 0)], ['How steady (0 to 1)', one => one.heading_length?.toFixed(2) ?? 'not known'], ['Turned in all, clockwise', one => degrees(one.turned_deg, 0)],
    ], layers));
  }
  return section('attitude', 'How the float hung and turned', parts);
}

function degrees(value, digits) {
  return value === null ? 'not known' : `${value.toFixed(digits)}°`;
}

/** A point at an azimuth from north, clockwise. */
function at(azimuthDeg, radius) {
  return { x: radius * Math.sin(azimuthDeg * Math.PI / 180), y: -radius * Math.cos(azimuthDeg * Math.PI / 180) };
}

/** Where everything pointed at the depth of this row of the first head: sun, arms and bow, degrees from true north; null: not known. */
export function pointing(heads, index) {
  const here = heads[0].rows[index];
  const sun = here.sun_azimuth_deg;
  const arms = heads.map(head => {
    const row = head.rows.reduce((best, one) => Math.abs(one.depth_m - here.depth_m) < Math.abs(best.depth_m - here.depth_m) ? one : best);
    const azimuth = sun === null || row.antisun_deg === null ? null : (sun + 540 + row.antisun_deg) % 360;
    return { name: head.name, antisun: row.antisun_deg, azimuth, bow: azimuth === null || head.hull_azimuth_deg === null ? null : (azimuth - head.hull_azimuth_deg + 720) % 360 };
  });
  return { depth: here.depth_m, sun, zenith: here.sun_zenith_deg, tilt: here.tilt_deg, arms, bow: arms.find(arm => arm.bow !== null)?.bow ?? null };
}

function above(drawing, readout, heads, index) {
  const here = pointing(heads, index);
  const parts = [shape('circle', { cx: 0, cy: 0, r: 98, fill: 'none', stroke: '#d8d6cf', 'stroke-width': 1.5 })];
  for (let azimuth = 0; azimuth < 360; azimuth += 30) {
    const inner = at(azimuth, azimuth % 90 === 0 ? 90 : 94), outer = at(azimuth, 98);
    parts.push(shape('line', { x1: inner.x, y1: inner.y, x2: outer.x, y2: outer.y, stroke: '#55606c' }));
  }
  ['north', 'east', 'south', 'west'].forEach((name, quarter) => {
    const to = at(90 * quarter, quarter % 2 === 0 ? 112 : 117);
    parts.push(shape('text', { x: to.x, y: to.y + 4, 'text-anchor': 'middle' }, name));
  });
  const said = [];
  if (here.sun === null) {
    said.push('sun not known, so no direction from north');
  } else {
    const one = at(here.sun + 180 - 16, 90), other = at(here.sun + 180 + 16, 90);
    const sun = at(here.sun, 98 * Math.min(1, Math.max(0.3, (here.zenith ?? 90) / 60)));
    parts.push(shape('path', { d: `M0 0L${one.x} ${one.y}L${other.x} ${other.y}Z`, fill: '#d8d6cf', stroke: '#55606c', 'stroke-dasharray': '3 3' }),
      shape('circle', { cx: sun.x, cy: sun.y, r: 9, fill: '#f3d48c', stroke: '#a86200', 'stroke-width': 2 }),
      shape('text', { x: sun.x, y: sun.y - 13, 'text-anchor': 'middle' }, 'sun'));
    said.push(`sun at ${here.sun.toFixed(0)}°, ${here.zenith.toFixed(0)}° from the zenith`);
  }
  for (const arm of here.arms) {
    if (arm.azimuth === null) { said.push(`head ${arm.name}: direction not known`); continue; }
    const end = at(arm.azimuth, 70);
    parts.push(shape('line', { x1: 0, y1: 0, x2: end.x, y2: end.y, stroke: '#1c2530', 'stroke-width': 4 }),
      shape('circle', { cx: end.x, cy: end.y, r: 11, fill: '#fdfcf9', stroke: '#14466b', 'stroke-width': 3 }),
      shape('text', { x: end.x, y: end.y + 4.5, 'text-anchor': 'middle' }, arm.name));
    said.push(`head ${arm.name} at ${arm.azimuth.toFixed(0)}°, ${Math.abs(arm.antisun).toFixed(0)}° from the anti-solar direction`);
  }
  parts.push(shape('circle', { cx: 0, cy: 0, r: 14, fill: '#55606c' }));
  if (here.bow !== null) {
    const tip = at(here.bow, 25), left = at(here.bow - 35, 15), right = at(here.bow + 35, 15);
    parts.push(shape('path', { d: `M${tip.x} ${tip.y}L${left.x} ${left.y}L${right.x} ${right.y}Z`, fill: '#55606c' }));
    said.push(`heading ${here.bow.toFixed(0)}°`);
  }
  if (here.tilt !== null) said.push(`tilt ${here.tilt.toFixed(1)}°`);
  drawing.replaceChildren(...parts);
  drawing.setAttribute('aria-label', `From above at ${here.depth.toFixed(2)} m: ${said.join('; ')}`);
  readout.textContent = `${here.depth.toFixed(2)} m: ${said.join('; ')}`;
}

function cast(view) {
  const known = values => values.some(value => value !== null);
  const one = (id, label, unit, values, caption) => known(values)
    ? figure(`f-${id}`, lines(`${label} against pressure`, 'pressure, dbar', view.pressure_dbar, unit, [{ label: label.toLowerCase(), values }], { down: true }), `${caption} against raw port pressure, as the float sent it.`)
    : figure(`f-${id}`, make('p', { class: 'calm' }, `No ${label.toLowerCase()} came.`), `${caption}.`);
  return section('cast', 'The water it rose through', make('div', { class: 'pair' },
    one('temperature', 'Temperature', 'temperature, °C', view.temperature_degc, 'Temperature'),
    one('salinity', 'Salinity', 'practical salinity', view.practical_salinity, 'Practical salinity'),
    one('chlorophyll', 'Chlorophyll', 'chlorophyll, mg m⁻³', view.chlorophyll_mg_per_m3, 'Chlorophyll by fluorescence'),
    one('backscatter', 'Backscatter', 'backscatter, m⁻¹', view.backscatter_per_m, 'Backscatter of particles at 700 nm')));
}

/** More reasons than these are folded away. */
const FIRST_REASONS = 12;

function words(product) {
  return section('words', 'What to know before use',
    make('ul', { id: 'reasons' }, product.reasons.slice(0, FIRST_REASONS).map(reason => make('li', {}, reason))),
    product.reasons.length <= FIRST_REASONS ? null : make('details', {}, make('summary', {}, `${product.reasons.length - FIRST_REASONS} further reasons`),
      make('ul', {}, product.reasons.slice(FIRST_REASONS).map(reason => make('li', {}, reason)))),
    product.gaps.length === 0 ? null : make('details', {}, make('summary', {}, `${product.gaps.length} gaps in the profile, each with its cause`),
      table('Gaps', [['Head', one => one.head, true], ['From, dbar', one => one.from_dbar?.toFixed(1)], ['To, dbar', one => one.to_dbar?.toFixed(1)], ['Cause', one => one.cause, true]], product.gaps)));
}

