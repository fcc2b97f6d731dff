// What an edit is called, for undo and for the live region: "elevation of back, 45° to 50°".
import type { Path, Plan, Value } from '../state/plan'
import { valueAt } from '../state/plan'
import type { Text } from '../text/en'
import { stepName } from './edit'
import { figureOf, numberOf, unitAfter } from './number'
import { fieldAt, shapeAt, spoken, type Shape, type Table } from './table'

// A value as it is said in passing.
export function saidValue(value: Value | undefined, shape: Shape | null, plan: Plan, text: Text): string {
  if (value === undefined) return text.plan.asUsual
  if (typeof value === 'boolean') return value ? text.plan.yes : text.plan.no
  if (shape?.kind === 'number' || shape?.kind === 'whole') {
    const number = numberOf(value)
    if (typeof value === 'string' && shape.words?.some((word) => word.text === value)) return value
    const unit = unitAfter(shape.unit, plan.units)
    return figureOf(number, shape.unit, plan.units) + (unit === '°' || unit === '' ? unit : ` ${unit}`)
  }
  if (typeof value === 'string' || typeof value === 'number') return String(value)
  if (value === null) return ''
  if (Array.isArray(value)) return value.map((of: Value) => saidValue(of, null, plan, text)).join(', ')
  if ('from' in value && 'to' in value && 'at' in value) return text.plan.partOf(saidValue(value['at'] as Value, null, plan, text), String(value['from']), String(value['to']))
  return Object.entries(value)
    .map(([key, of]) => `${spoken(key)} ${saidValue(of, null, plan, text)}`)
    .join(', ')
}

export function nameOfPath(table: Table, path: Path): string {
  const key = [...path].reverse().find((k) => typeof k === 'string')
  return spoken(String(fieldAt(table, path)?.field.key ?? key ?? ''))
}

// Where it stands: the step's name, or the part of the plan.
function ownerOf(plan: Plan, path: Path): string {
  if (path[0] === 'steps' && typeof path[1] === 'number') return stepName(plan, path[1])
  if (path[0] === 'sections' && typeof path[1] === 'number') {
    const split = plan.sections?.[path[1]]?.['split']
    return typeof split === 'string' ? split : ''
  }
  return path.length > 1 ? spoken(String(path[0])) : ''
}

export function labelOf(table: Table, before: Plan, after: Plan, path: Path, text: Text): string {
  const shape = shapeAt(table, path)
  const from = saidValue(valueAt(before, path), shape, before, text)
  const to = saidValue(valueAt(after, path), shape, after, text)
  const short = (said: string) => (said.length > 40 ? `${said.slice(0, 38)}…` : said)
  return text.plan.changed(nameOfPath(table, path), ownerOf(before, path), short(from), short(to))
}
