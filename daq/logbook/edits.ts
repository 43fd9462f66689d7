import { DaqError } from '../daq-error.js';
import { type Connection, inOneGo } from './open-database.js';

/** What an edit can be about. */
export type EditedKind = 'shock' | 'build' | 'recording' | 'photo' | 'shelf';

export type EditAction =
  | 'create'
  | 'import'
  | 'change'
  | 'bin'
  | 'restore'
  /** Nothing before it can be undone. */
  | 'empty-bin'
  | 'undo'
  | 'redo';

/** One value that an edit changed. */
export interface EditedValue {
  readonly kind: EditedKind;
  /** The row's id; of the shelf kind and name, 'oil/thin'. */
  readonly item: string;
  readonly field: string;
  readonly before: unknown;
  readonly after: unknown;
}

export interface Edit {
  readonly id: number;
  readonly action: EditAction;
  readonly happenedAt: string;
  readonly values: readonly EditedValue[];
}

/** The edits that would be taken back, and done again, next; null where there is none. */
export interface EditsAtHand {
  readonly undo: Edit | null;
  readonly redo: Edit | null;
}

/** Puts a value where it belongs; the same code does an edit, undoes it and does it again. */
export type ApplyValue = (item: string, field: string, value: unknown) => void;

interface EditRow {
  id: number;
  action: EditAction;
  of_edit_id: number | null;
  happened_at: string;
}

interface ValueRow {
  kind: EditedKind;
  item: string;
  field: string;
  before_json: string;
  after_json: string;
}

export type Edits = ReturnType<typeof edits>;

/**
 * The part of the logbook that appends every edit to a history, and walks it back and forth. The history is a list of
 * events like any other here: an undo is one more of them, so it survives the program.
 */
export function edits(connection: Connection, now: () => string) {
  const appliers = new Map<EditedKind, ApplyValue>();
  const insertEdit = connection
    .prepare<[EditAction, number | null, string], number>(
      'INSERT INTO edit (action, of_edit_id, happened_at) VALUES (?, ?, ?) RETURNING id',
    )
    .pluck();
  const insertValue = connection.prepare<[number, EditedKind, string, string, string, string]>(
    'INSERT INTO edited_value (edit_id, kind, item, field, before_json, after_json) VALUES (?, ?, ?, ?, ?, ?)',
  );
  const selectEdits = connection.prepare<[], EditRow>(
    `SELECT * FROM edit WHERE id > coalesce((SELECT max(id) FROM edit WHERE action = 'empty-bin'), 0) ORDER BY id`,
  );
  const selectValues = connection.prepare<[number], ValueRow>(
    'SELECT * FROM edited_value WHERE edit_id = ? ORDER BY rowid',
  );

  function append(action: EditAction, ofEditId: number | null, values: readonly EditedValue[]): void {
    inOneGo(connection, () => {
      const id = insertEdit.get(action, ofEditId, now())!;
      for (const { kind, item, field, before, after } of values) {
        appliers.get(kind)!(item, field, after);
        insertValue.run(id, kind, item, field, JSON.stringify(before), JSON.stringify(after));
      }
    });
  }

  const editOf = ({ id, action, happened_at }: EditRow): Edit => ({
    id,
    action,
    happenedAt: happened_at,
    values: selectValues.all(id).map(({ kind, item, field, before_json, after_json }) => ({
      kind,
      item,
      field,
      before: JSON.parse(before_json) as unknown,
      after: JSON.parse(after_json) as unknown,
    })),
  });

  function atHand(): EditsAtHand {
    const done: EditRow[] = [];
    const undone: EditRow[] = [];
    for (const row of selectEdits.all())
      if (row.action === 'undo') undone.push(done.pop()!);
      else if (row.action === 'redo') done.push(undone.pop()!);
      else {
        done.push(row);
        undone.length = 0;
      }
    const [undo, redo] = [done.at(-1), undone.at(-1)];
    return { undo: undo ? editOf(undo) : null, redo: redo ? editOf(redo) : null };
  }

  function step(action: 'undo' | 'redo', editId: number): Edit {
    return inOneGo(connection, () => {
      const edit = atHand()[action];
      if (edit?.id !== editId)
        throw new DaqError('wrong-state', {
          where: `${action} of edit ${editId}`,
          found: edit ? `edit ${edit.id}, made meanwhile` : `nothing to ${action}`,
          wanted: `the edit that is at hand to ${action}`,
        });
      append(
        action,
        editId,
        action === 'redo'
          ? edit.values
          : edit.values.toReversed().map((value) => ({ ...value, before: value.after, after: value.before })),
      );
      return edit;
    });
  }

  return {
    /** Names the code that puts values of a kind where they belong. */
    applyWith: (kind: EditedKind, apply: ApplyValue): void => void appliers.set(kind, apply),
    /** Does what the values say and keeps it as one edit; values that stay as they were are left out. */
    edit(action: Exclude<EditAction, 'undo' | 'redo'>, values: readonly EditedValue[]): void {
      const changed = values.filter(({ before, after }) => JSON.stringify(before) !== JSON.stringify(after));
      if (changed.length > 0 || action === 'empty-bin') append(action, null, changed);
    },
    editsAtHand: atHand,
    /**
     * Takes the last edit back; it stays in the history, and so does this.
     * @param editId the edit that is meant, so that two people do not undo past each other
     * @throws DaqError 'wrong-state' when another one is at hand, 'name-taken'
     */
    undoEdit: (editId: number): Edit => step('undo', editId),
    /** Does again what was undone last. @throws as `undoEdit` */
    redoEdit: (editId: number): Edit => step('redo', editId),
  };
}
