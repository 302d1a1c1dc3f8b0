/** Which keyboard, or picker, a field opens. */
const kinds = { text: { type: 'text' }, date: { type: 'date' } } as const;

/** A line of text, or a day, with its label. */
export function TextField({
  label,
  value,
  onValue,
  type = 'text',
  isRequired = false,
}: {
  readonly label: string;
  readonly value: string;
  readonly onValue: (text: string) => void;
  readonly type?: keyof typeof kinds;
  readonly isRequired?: boolean;
}) {
  return (
    <label>
      {label}
      <input
        {...kinds[type]}
        value={value}
        required={isRequired}
        autocomplete="off"
        onInput={({ currentTarget }) => onValue(currentTarget.value)}
      />
    </label>
  );
}
