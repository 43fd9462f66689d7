import type { PortsBody } from '../../server/api.js';
import { ChoiceField } from './choice-field.js';

/** Stands for the simulated rig where a port is chosen. */
export const PRACTICE = '';

/** A port of this machine, or the simulated rig. */
export function PortField(props: {
  readonly label: string;
  readonly ports: PortsBody['ports'];
  readonly value: string;
  readonly onChange: (path: string) => void;
}) {
  const { ports, ...field } = props;
  return (
    <ChoiceField
      {...field}
      choices={[
        ...ports.map(({ path, about }) => [path, about ? `${path} (${about})` : path] as const),
        [PRACTICE, 'Practice rig (simulated)'],
      ]}
    />
  );
}
