import { type Piston, readPiston, type Shelf } from '../../daq/index.js';
import { badInput } from './failure.js';

/**
 * The piston of a JSON file, or of the shelf as `shelf:NAME`.
 * @param where what the shelf was read from, for messages
 */
export async function pistonFrom(text: string, shelf: Shelf, where: string): Promise<Piston> {
  const [, name] = /^shelf:(.+)$/s.exec(text) ?? [];
  if (name === undefined) return readPiston(text);
  const piston = shelf.pistons.find((one) => one.name === name);
  if (piston) return piston;
  const names = shelf.pistons.map((one) => `'${one.name ?? ''}'`).join(', ');
  throw badInput(
    `no piston '${name}' on the shelf`,
    names ? `one of ${names}` : 'a shelf with pistons; this one has none',
    where,
  );
}
