/** A line of text of a form whose answers stand in the address. */
export function AskedField({
  name,
  label,
  said,
  isNeeded = false,
  list,
}: {
  readonly name: string;
  readonly label: string;
  readonly said: URLSearchParams;
  readonly isNeeded?: boolean;
  /** The id of a list of what can be written. */
  readonly list?: string;
}) {
  return (
    <label>
      {label}
      <input
        type="text"
        name={name}
        autocomplete="off"
        maxLength={200}
        required={isNeeded}
        {...(list === undefined ? {} : { list })}
        defaultValue={said.get(name) ?? ''}
      />
    </label>
  );
}
