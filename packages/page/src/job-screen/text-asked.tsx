import type { Command } from '@ferrule/engine';
import { useState } from 'preact/hooks';
import { TextField } from '../pieces/text-field.tsx';
import { AsideForm, type Beside } from './aside-form.tsx';

/** A command that takes one line of text: a note, or a reason. */
export function TextAsked({
  label,
  hint,
  command,
  ...form
}: Beside & {
  readonly title: string;
  readonly label: string;
  readonly action: string;
  /** What to know before. */
  readonly hint?: string;
  readonly command: (text: string) => Command;
}) {
  const [text, setText] = useState('');
  return (
    <AsideForm
      {...form}
      command={() => command(text)}
      onTaken={() => {
        setText('');
        form.onTaken?.();
      }}
    >
      {hint === undefined ? null : <p>{hint}</p>}
      <TextField label={label} value={text} onValue={setText} />
    </AsideForm>
  );
}
