import { make } from './draw.js';

/** Dives side by side. */
export async function compare(get) {
  const view = await get('api/recent');
  return { title: 'Compare dives', nodes: [make('h1', {}, 'Compare dives'), make('p', {}, `${view.dives.length} dives to choose from.`)] };
}
