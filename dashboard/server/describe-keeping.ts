import type { BinItem, Edit, EditedValue, Logbook } from '../../daq/index.js';
import { count, editWords, type NamedEdit, thingWords } from '../wording/index.js';
import type { ApiBinItem, ApiEdit, KeepingBody } from './api.js';

/** What can be undone, done again and taken out of the bin, as the page is told it. */
export function describeKeeping(logbook: Logbook): KeepingBody {
  const { undo, redo } = logbook.editsAtHand();
  return {
    undo: undo && describeEdit(logbook, undo),
    redo: redo && describeEdit(logbook, redo),
    bin: logbook.listBin().map(describeBinItem),
    shelf: logbook.listShelf().filter(({ binned }) => !binned),
  };
}

function describeBinItem(item: BinItem): ApiBinItem {
  const { kind, reason, binnedAt, recordings } = item;
  const [thing, name] = kind === 'shelf' ? splitItem(item.item) : [kind, item.name];
  const words = thingWords({ thing, name, ofBuild: item.ofBuild });
  const withIt = recordings > 0 ? `, with ${count(recordings, 'recording')}` : '';
  return { kind, item: item.item, words: words + withIt, reason, binnedAt };
}

function describeEdit(logbook: Logbook, edit: Edit): ApiEdit {
  const { id, action, happenedAt, values } = edit;
  const [first] = values;
  const words = first ? editWords({ action, number: values.length, ...named(logbook, first, values) }) : '';
  return { id, words, happenedAt };
}

function named(
  logbook: Logbook,
  { kind, item }: EditedValue,
  values: readonly EditedValue[],
): Omit<NamedEdit, 'action' | 'number'> {
  const builds = logbook.listBuilds({ withBinned: true });
  const buildName = (id: number | undefined) => builds.find((build) => build.id === id)?.name ?? '';
  const name = values.find(({ field }) => field === 'name');
  const renamed = name ? { from: String(name.before), to: String(name.after) } : null;
  switch (kind) {
    case 'shock': {
      const shock = logbook.listShocks().find(({ id }) => String(id) === item);
      return { thing: 'shock', name: shock?.name ?? '', ofBuild: '', renamed };
    }
    case 'build':
      return { thing: 'build', name: buildName(Number(item)), ofBuild: '', renamed };
    case 'recording': {
      const recording = logbook.findRecording(Number(item) as never);
      const ofBuild = recording?.buildName ?? '';
      return { thing: 'recording', name: `remount ${recording?.remount}`, ofBuild, renamed };
    }
    case 'photo': {
      const photo = logbook.listPhotos().find(({ id }) => String(id) === item);
      return { thing: 'photo', name: photo?.caption ?? '', ofBuild: buildName(photo?.buildId), renamed };
    }
    case 'shelf': {
      const [thing, shelved] = splitItem(item);
      return { thing, name: shelved, ofBuild: '', renamed };
    }
  }
}

/** 'oil/thin' as kind and name; a name may have strokes of its own. */
export function splitItem(item: string): [kind: string, name: string] {
  const at = item.indexOf('/');
  return [item.slice(0, at), item.slice(at + 1)];
}
