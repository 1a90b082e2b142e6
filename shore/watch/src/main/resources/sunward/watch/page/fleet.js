import { ago, facts, make, map, place, section, table } from './draw.js';

/** First what needs a person now, then the floats. */
export async function fleet(get) {
  const view = await get('api/fleet');
  const attention = view.attention.length === 0
    ? make('p', { class: 'calm' }, view.floats.length === 0 ? 'No message of any float has come yet.' : 'Nothing needs a person now.')
    : make('ul', { class: 'attention' }, view.attention.map(item => make('li', {},
      item.dive === null ? make('strong', {}, item.what) : make('a', { href: `#/dive/${item.dive}` }, make('strong', {}, item.what)),
      make('p', {}, item.why))));
  const parts = [make('h1', {}, 'What needs a person now'), attention];
  if (view.floats.length === 0) {
    parts.push(make('p', {}, 'Gateways bring them to the port that ', make('code', {}, 'sunward listen'), ' named when it started, and show the token of its folder. Simulated floats for a trial: ',
      make('code', {}, 'sunward rehearse --live HOST:PORT --token FILE'), '.'));
  }
  if (view.floats.length > 0) {
    parts.push(section('map', 'Where the floats surfaced', make('figure', {}, await map(view.floats),
      make('figcaption', {}, 'Newest dive of each float that told its place. Coastlines: Natural Earth, public domain.'))));
    parts.push(section('floats', 'Floats', facts([['Floats', view.floats.length],
      ['Newest message', ago(view.floats.map(one => one.last_arrival_utc).sort().at(-1), view.now_utc)]]),
    table('Newest dive of each float', [
      ['Float', one => make('a', { href: `#/dive/${one.float_number}/${one.dive}` }, `Float ${one.float_number}`), true],
      ['Dive', one => one.dive],
      ['Messages', one => share(one)],
      ['Last message', one => ago(one.last_arrival_utc, view.now_utc)],
      ['Place', one => place(one.latitude_deg, one.longitude_deg), true],
      ['Marks', one => [one.simulated ? 'simulated' : '', one.unsealed ? 'unsealed' : '', one.faults].filter(Boolean).join(', '), true],
    ], view.floats)));
  }
  return { title: 'Fleet', nodes: parts };
}

function share(one) {
  const bar = make('i', { class: 'share wide', 'aria-hidden': 'true' });
  bar.style.backgroundSize = `${100 * one.received / Math.max(1, one.expected)}% 100%`;
  return make('span', {}, `${one.received} of ${one.planned === null ? 'at least ' : ''}${one.expected}${one.repaired > 0 ? `, ${one.repaired} repaired` : ''}`, bar);
}
