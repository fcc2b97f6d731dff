// The core's table of what a plan may say (plan_table in src/plan/plan.h), and how to find one's way in it. Every label, range,
// condition and help on the panel comes from here.
import type { Part, Path, Plan, Value } from '../state/plan'
import { valueAt } from '../state/plan'

export interface Word {
  readonly text: string
  readonly help: string
}

export type Shape =
  | { readonly kind: 'text'; readonly most: number; readonly lines?: boolean; readonly address?: boolean }
  | NumberShape
  | { readonly kind: 'flag' }
  | { readonly kind: 'word'; readonly words: readonly Word[] }
  | { readonly kind: 'landmark' }
  | { readonly kind: 'place' }
  | ObjectShape
  | { readonly kind: 'list'; readonly least: number; readonly most: number; readonly element: Shape }
  | { readonly kind: 'either'; readonly options: readonly Shape[] }

export type Unit = 'length' | 'degrees' | 'per_cm2' | 'um2' | 'GPa'

export interface NumberShape {
  readonly kind: 'number' | 'whole'
  readonly unit?: Unit
  readonly low: number // lengths in centimetres, whatever the plan's unit is
  readonly high: number
  readonly fraction?: boolean
  readonly words?: readonly Word[]
}

export interface ObjectShape {
  readonly kind: 'object'
  readonly exactly_one?: readonly string[]
  readonly fields: readonly Field[]
}

export interface Field {
  readonly key: string
  readonly help: string
  readonly example: Value
  readonly shape: Shape
  readonly takes: string
  readonly required?: boolean
  readonly default?: Value // lengths in centimetres
  readonly absent?: string
  readonly with?: readonly string[]
  readonly without?: readonly string[]
  readonly needed_by?: readonly string[]
}

export interface Table {
  readonly landmarks: readonly string[]
  readonly place: Shape
  readonly plan: ObjectShape
}

// "hold.elevation" as people write it.
export const spoken = (key: string): string => key.replaceAll('_', ' ')

// "steps[].hold.elevation" of step 2 as a path.
export function pathOf(field: string, at: number): Path {
  const path: (string | number)[] = []
  for (const part of field.split('.')) {
    const [key, ...indices] = part.split('[')
    path.push(key as string)
    for (const index of indices) path.push(index === ']' ? at : Number.parseInt(index, 10))
  }
  return path
}

function objects(shape: Shape): readonly ObjectShape[] {
  if (shape.kind === 'object') return [shape]
  return shape.kind === 'either' ? shape.options.flatMap(objects) : []
}

// The object in which the path's last key stands, and that key's field; null for a place inside a list or a shared shape.
export function fieldAt(table: Table, path: Path): { readonly owner: ObjectShape; readonly field: Field } | null {
  let owners: readonly ObjectShape[] = [table.plan]
  let found: { owner: ObjectShape; field: Field } | null = null
  for (const key of path) {
    if (typeof key === 'number') {
      const shape: Shape | undefined = found?.field.shape
      if (shape?.kind !== 'list') return null
      owners = objects(shape.element)
      continue
    }
    found = null
    for (const owner of owners) {
      const field = owner.fields.find((f) => f.key === key)
      if (field) found = { owner, field }
    }
    if (!found) return null
    owners = objects(found.field.shape)
  }
  return found
}

// The shape of what stands at a path, elements of lists included.
export function shapeAt(table: Table, path: Path): Shape | null {
  if (typeof path.at(-1) === 'number') {
    const list = shapeAt(table, path.slice(0, -1))
    return list?.kind === 'list' ? list.element : null
  }
  return fieldAt(table, path)?.field.shape ?? null
}

// Help without the marks that a manual sets its keys in.
export const helpOf = (field: Pick<Field, 'help'>): string => field.help.replaceAll('`', '')

// Whether a condition ("key" or "key:word") holds in an object; what is not said counts with its default.
function holds(condition: string, record: Part, owner: ObjectShape): boolean {
  const colon = condition.indexOf(':')
  if (colon < 0) return record[condition] !== undefined
  const key = condition.slice(0, colon)
  const value = record[key] ?? owner.fields.find((f) => f.key === key)?.default
  return String(value) === condition.slice(colon + 1)
}

const any = (conditions: readonly string[] | undefined, record: Part, owner: ObjectShape): boolean =>
  conditions?.some((condition) => holds(condition, record, owner)) ?? false

// Whether a field may stand in an object as it is.
export const allowed = (field: Field, record: Part, owner: ObjectShape): boolean =>
  (!field.with || any(field.with, record, owner)) && !any(field.without, record, owner)

export const needed = (field: Field, record: Part, owner: ObjectShape): boolean =>
  field.required === true || (any(field.needed_by, record, owner) && !any(field.without, record, owner))

export const partAt = (plan: Plan, path: Path): Part => {
  const value = valueAt(plan, path)
  return value !== null && typeof value === 'object' && !Array.isArray(value) ? (value as Part) : {}
}
