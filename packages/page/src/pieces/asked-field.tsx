/** A line of text of a form whose answers stand in the address. */
export function AskedField({
  name,
  label,
  said,
  isNeeded = false,
}: {
  readonly name: string;
  readonly label: string;
  readonly said: URLSearchParams;
  readonly isNeeded?: boolean;
}) {
  return (
    <label>
      {label}
      <input
        name={name}
        autocomplete="off"
        maxLength={200}
        required={isNeeded}
        defaultValue={said.get(name) ?? ''}
      />
    </label>
  );
}
