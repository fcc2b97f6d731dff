// Where two plans differ, place by place, in words.
import type { Plan, Value } from '../state/plan'

export interface Difference {
  readonly path: string
  readonly ours: string
  readonly theirs: string
}

const isPart = (value: unknown): value is Record<string, unknown> => value !== null && typeof value === 'object'

const shown = (value: Value | undefined): string => (value === undefined ? '–' : typeof value === 'string' ? value : JSON.stringify(value))

// Lists count from 1, as people do; an entry with a name is called by it.
function name(key: string, of: unknown, inList: boolean): string {
  if (!inList) return key.replaceAll('_', ' ')
  const called = isPart(of) ? (of['name'] ?? of['split']) : undefined
  return typeof called === 'string' ? `“${called}”` : String(Number(key) + 1)
}

export function differences(ours: Plan, theirs: Plan): Difference[] {
  const found: Difference[] = []
  const walk = (a: unknown, b: unknown, path: readonly string[]): void => {
    if (Object.is(a, b)) return
    if (!isPart(a) || !isPart(b) || Array.isArray(a) !== Array.isArray(b)) {
      found.push({ path: path.join(', '), ours: shown(a as Value), theirs: shown(b as Value) })
      return
    }
    for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) walk(a[key], b[key], [...path, name(key, a[key] ?? b[key], Array.isArray(a))])
  }
  walk(ours, theirs, [])
  return found
}
