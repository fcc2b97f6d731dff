// A step has no number of its own that lasts; this gives it one, so that what is on the screen stays the same element while the step
// is changed, moved or has others put before it.
import type { Part } from '../state/plan'

export interface Keys {
  of(list: readonly Part[]): string[]
}

export function createKeys(prefix: string): Keys {
  const known = new WeakMap<Part, string>()
  let last: readonly Part[] = []
  let next = 0
  return {
    of(list) {
      const claimed = new Set(list.flatMap((part) => known.get(part) ?? []))
      list.forEach((part, i) => {
        if (known.has(part)) return
        const before = last[i]
        const kept = before && known.get(before)
        const key = kept !== undefined && !claimed.has(kept) && list.length === last.length ? kept : `${prefix}${next++}`
        known.set(part, key)
        claimed.add(key)
      })
      last = list
      return list.map((part) => known.get(part) as string)
    },
  }
}
