import { facts, make, section, table } from './draw.js';

/** How the watch itself is. */
export async function health(get) {
  const view = await get('api/health');
  return { title: 'Health', nodes: [
    make('h1', {}, view.well ? 'The watch is well' : view.keeping ? 'Messages are kept, but not judged' : 'The watch cannot keep messages'),
    make('p', { class: 'calm' }, view.well ? 'Every message that was acknowledged is on disk.' : view.trouble),
    facts([
      ['Messages kept', view.stored_messages], ['Came again', view.repeated_arrivals],
      ['Accepted', view.accepted_messages], ['Rejected', view.rejected_messages],
      ['Dives', view.dives], ['Floats', view.floats],
      ['Waiting for the disk', view.waiting_for_disk], ['Not judged yet', view.not_judged_yet],
      ['Memory in use', `${view.memory_in_use_mb} of ${view.memory_limit_mb} MB`],
    ]),
    section('rejected', 'Rejected in the last day', view.rejected_last_day.length === 0
      ? make('p', {}, 'None.')
      : table('Newest first, one hundred at most; their bytes are kept', [
        ['Number', one => one.id],
        ['Came', one => one.arrival_utc.replace('T', ' ').replace('Z', ''), true],
        ['By', one => one.door, true],
        ['From', one => one.sender, 'source'],
        ['Bytes', one => one.bytes],
        ['Reason', one => one.reason, true],
        ['In full', one => one.sentence, 'long'],
      ], view.rejected_last_day)),
  ] };
}
