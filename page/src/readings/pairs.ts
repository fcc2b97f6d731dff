// Landmarks as a table: those on the midline, and those that come left and right.
export interface Row<T> {
  readonly name: string
  readonly one: T | null // on the midline
  readonly left: T | null
  readonly right: T | null
}

export function rows<T extends { readonly name: string }>(all: readonly T[]): Row<T>[] {
  const made: Row<T>[] = []
  for (const one of all) {
    const side = / (left|right)$/.exec(one.name)?.[1]
    const name = side ? one.name.slice(0, -side.length - 1) : one.name
    const known = made.find((row) => row.name === name)
    const row: Row<T> = known ?? { name, one: null, left: null, right: null }
    const next: Row<T> = side === 'left' ? { ...row, left: one } : side === 'right' ? { ...row, right: one } : { ...row, one }
    if (known) made[made.indexOf(known)] = next
    else made.push(next)
  }
  return made
}
