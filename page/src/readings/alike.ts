// Readings of the left and the right side that say the same are told once.
export function oncePerPair<T extends { readonly name: string }>(list: readonly T[], same: (a: T, b: T) => boolean): { readonly of: T; readonly both: boolean }[] {
  const told: { of: T; both: boolean }[] = []
  for (const one of list) {
    const twin = told.find(({ of }) => of.name !== one.name && of.name.replace(/\bleft\b/, 'right') === one.name)
    if (twin && same(twin.of, one)) twin.both = true
    else told.push({ of: one, both: false })
  }
  return told
}

export const near = (a: number | null, b: number | null): boolean => a === b || (a !== null && b !== null && Math.abs(a - b) < 1e-3)

// "left temple up to the apex" of both sides.
export const ofBoth = (name: string): string => name.replace(/\bleft side\b/, 'each side').replace(/\bthe left\b/, 'each').replace(/\bleft\b/, 'each')
