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
  return (
    <label>
      {label}
      <input
        type={type}
        value={value}
        required={isRequired}
        autocomplete="off"
        onInput={({ currentTarget }) => onValue(currentTarget.value)}
      />
    </label>
  );
}
