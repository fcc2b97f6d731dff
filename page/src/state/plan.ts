// A plan as the page holds it: the plan file's own JSON, untouched but for what is edited. What may stand in it is told by
// the core's table of fields (docs/plan-fields.md); nothing of that is repeated here.

export type Value = null | boolean | number | string | readonly Value[] | { readonly [key: string]: Value }

export type Part = { readonly [key: string]: Value }

export interface Plan {
  readonly format: string
  readonly version: number
  readonly units: 'cm' | 'in'
  readonly title?: string
  readonly person?: string
  readonly note?: string
  readonly head?: Part
  readonly hair?: Part
  readonly worn?: Part
  readonly hands?: Part
  readonly sections?: readonly Part[]
  readonly steps?: readonly Part[]
  readonly [key: string]: Value | undefined
}

// Where in a plan something stands: ['steps', 2, 'hold', 'elevation'].
export type Path = readonly (string | number)[]

export function valueAt(plan: Plan, path: Path): Value | undefined {
  let at: unknown = plan
  for (const key of path) {
    if (at === null || typeof at !== 'object') return undefined
    at = (at as Record<string | number, unknown>)[key]
  }
  return at as Value | undefined
}

// The plan with a value put at the path, or taken out where it is undefined. Objects on the way are made where there are
// none; nothing else changes, and what did not change stays the same object.
export function withValue(plan: Plan, path: Path, value: Value | undefined): Plan {
  return put(plan as unknown as Value, path, value) as unknown as Plan
}

function put(at: Value | undefined, path: Path, value: Value | undefined): Value | undefined {
  const [key, ...rest] = path
  if (key === undefined) return value
  if (typeof key === 'number') {
    const list = Array.isArray(at) ? [...at] : []
    const inner = put(list[key], rest, value)
    if (inner === undefined) list.splice(key, 1)
    else list[key] = inner
    return list
  }
  const record: Record<string, Value> = at !== null && typeof at === 'object' && !Array.isArray(at) ? { ...(at as Part) } : {}
  const inner = put(record[key], rest, value)
  if (inner === undefined) delete record[key]
  else record[key] = inner
  return record
}

// As a plan file is written: two spaces, short things on one line.
export function planText(plan: Plan): string {
  return write(plan as unknown as Value, '') + '\n'
}

const LINE = 100

function write(value: Value, indent: string): string {
  const flat = JSON.stringify(value).replaceAll(/("(?:[^"\\]|\\.)*")|([,:])/g, (_, text: string | undefined, mark: string) => text ?? mark + ' ')
  if (value === null || typeof value !== 'object' || (indent !== '' && flat.length + indent.length <= LINE)) return flat
  const inner = indent + '  '
  if (Array.isArray(value)) return value.length ? `[\n${value.map((of: Value) => inner + write(of, inner)).join(',\n')}\n${indent}]` : '[]'
  const keys = Object.entries(value as Part)
  return keys.length ? `{\n${keys.map(([key, of]) => `${inner}${JSON.stringify(key)}: ${write(of, inner)}`).join(',\n')}\n${indent}}` : '{}'
}
