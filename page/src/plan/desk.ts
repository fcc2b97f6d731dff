// What the panel knows beyond the plan: which control is open, what was typed that could not be taken, what was said last. And
// the one way by which its controls change the plan.
import { batch, signal, type Signal } from '@preact/signals-core'
import type { Path, Plan, Value } from '../state/plan'
import { valueAt } from '../state/plan'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { put, renamePart, renameStep } from './edit'
import { labelOf } from './label'
import type { Table } from './table'

export interface Typed {
  readonly text: string
  readonly fault: string // '' while it can be taken
  readonly before?: Value | undefined // what the plan said when typing began
}

export interface Desk {
  readonly store: Store
  readonly text: Text
  readonly table: Table
  readonly open: Signal<string | null> // which words of which sentence are being changed
  readonly more: Signal<ReadonlySet<string>> // steps, sections and parts of the plan of which everything is shown
  readonly typed: Signal<ReadonlyMap<string, Typed>>
  readonly said: Signal<string> // for the live region
  set(path: Path, value: Value | undefined, stroke?: string): void
  type(path: Path, typed: Typed | null): void
  leave(path: Path): void // what was typed there and taken reads as the plan has it from now on; what is wrong stays to be mended
  change(label: string, plan: Plan | null): void // an edit that is more than a value; announced
}

// A path as one word: for ids and keys.
export const keyOf = (path: Path): string => path.join('-')

// A path as the table writes it: "steps[].hold.elevation".
export const general = (path: Path): string => path.reduce<string>((so, key) => (typeof key === 'number' ? `${so}[]` : so === '' ? key : `${so}.${key}`), '')

function edited(table: Table, plan: Plan, path: Path, value: Value | undefined): Plan {
  const [part, at, key, which] = path
  if (general(path) === 'steps[].name') return renameStep(plan, at as number, String(value ?? ''))
  if (general(path) === 'sections[].into[]' && key === 'into' && (which === 0 || which === 1)) return renamePart(plan, at as number, which, String(value ?? ''))
  return part === undefined ? plan : put(table, plan, path, value)
}

export function createDesk(store: Store, text: Text, table: Table): Desk {
  const typed = signal<ReadonlyMap<string, Typed>>(new Map())
  const said = signal('')
  const type = (path: Path, what: Typed | null): void => {
    const key = keyOf(path)
    if (!what && !typed.peek().has(key)) return
    const next = new Map(typed.peek())
    if (what) next.set(key, what)
    else next.delete(key)
    typed.value = next
  }
  return {
    store,
    text,
    table,
    open: signal(null),
    more: signal(new Set()),
    typed,
    said,
    type,
    leave(path) {
      if (typed.peek().get(keyOf(path))?.fault === '') type(path, null)
    },
    set(path, value, stroke = '') {
      const before = store.plan.peek()
      if (JSON.stringify(valueAt(before, path)) === JSON.stringify(value)) return
      const after = edited(table, before, path, value)
      if (after !== before) store.change(labelOf(table, before, after, path, text), after, stroke)
    },
    change(label, plan) {
      if (!plan || plan === store.plan.peek()) return
      batch(() => {
        typed.value = new Map() // what was typed stands at a place that may be another now
        store.change(label, plan)
        said.value = label
      })
    },
  }
}
