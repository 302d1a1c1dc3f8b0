/** A line of text with its label. */
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
  readonly type?: 'text' | 'date';
  readonly isRequired?: boolean;
}) {
  const field = {
    ...{ value, required: isRequired, autocomplete: 'off' },
    onInput: ({ currentTarget }: { readonly currentTarget: HTMLInputElement }) =>
      onValue(currentTarget.value),
  };
  return (
    <label>
      {label}
      {type === 'date' ? <input type="date" {...field} /> : <input type="text" {...field} />}
    </label>
  );
}
