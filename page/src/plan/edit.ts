// Edits of a plan: each makes another plan and leaves the one it was given as it was. What belongs together is kept together, by
// the core's table: a value that makes another needless takes it out, and one that needs another brings it in.
import type { Edit } from '../core/messages'
import { valueAt, withValue, type Part, type Path, type Plan, type Value } from '../state/plan'
import { allowed, fieldAt, needed, partAt, type Field, type Table } from './table'
import { INCH, kept, numberOf } from './number'

// An example from the table, which is written in centimetres, in the plan's unit.
export function exampleOf(field: Field, plan: Plan): Value {
  return inPlan(field.example, field, plan)
}

// A default or example, which the table keeps in centimetres, as this plan would write it.
export function inPlan(value: Value, field: Field, plan: Plan): Value {
  const shape = field.shape
  if (shape.kind !== 'number' || shape.unit !== 'length' || plan.units !== 'in') return value
  return kept(Math.round((numberOf(value) / INCH) * 8) / 8, shape, 'in')
}

// Puts a value at a path, or takes it out, and sets right what stands beside it.
export function put(table: Table, plan: Plan, path: Path, value: Value | undefined): Plan {
  const next = withValue(plan, path, value)
  const at = fieldAt(table, path)
  return at && typeof path.at(-1) === 'string' ? tidy(table, next, path.slice(0, -1), at.field.key) : next
}

// The object at a path, after the value of `changed` was set in it.
function tidy(table: Table, plan: Plan, path: Path, changed: string): Plan {
  const owner = fieldAt(table, [...path, changed])?.owner
  if (!owner) return plan
  let next = plan
  const record = (): Part => partAt(next, path)
  if (owner.exactly_one?.includes(changed) && record()[changed] !== undefined)
    for (const key of owner.exactly_one) if (key !== changed && record()[key] !== undefined) next = withValue(next, [...path, key], undefined)
  const field = owner.fields.find((f) => f.key === changed)
  if (field && record()[changed] !== undefined)
    for (const other of owner.fields) // what the new value cannot stand beside gives way to it
      if (other.key !== changed && record()[other.key] !== undefined && field.without?.some((c) => c === other.key))
        next = withValue(next, [...path, other.key], undefined)
  for (let again = true; again; ) {
    again = false
    for (const other of owner.fields) {
      const there = record()[other.key] !== undefined
      if (there && other.key !== changed && !allowed(other, record(), owner)) {
        next = withValue(next, [...path, other.key], undefined)
        again = true
      } else if (!there && other.needed_by && needed(other, record(), owner)) {
        next = withValue(next, [...path, other.key], exampleOf(other, plan))
        again = true
      }
    }
  }
  return next
}

// ---- names ----

const swapped = (text: string): string => text.replaceAll(/\b(left|right)\b/g, (side) => (side === 'left' ? 'right' : 'left'))

// The name of the twin on the other side; the same name where it has no side.
export const twinName = swapped

export const stepName = (plan: Plan, at: number): string => {
  const name = plan.steps?.[at]?.['name']
  return typeof name === 'string' && name !== '' ? name : `step ${at + 1}`
}

export const stepNames = (plan: Plan): string[] => (plan.steps ?? []).map((_, i) => stepName(plan, i))

// Every part there is, in the order in which it is made; the halves that a mirrored parting makes too.
export function partNames(plan: Plan, before = Infinity): string[] {
  const names = ['all']
  for (const [i, section] of (plan.sections ?? []).entries()) {
    if (i >= before) break
    const into = (Array.isArray(section['into']) ? section['into'] : []).filter((name): name is string => typeof name === 'string')
    names.push(...into)
    if (section['mirror'] === true) names.push(...into.map(swapped))
  }
  return names
}

// The parts that no parting divides further: the sections.
export function leafNames(plan: Plan, before = Infinity): string[] {
  const divided = new Set<Value | undefined>()
  for (const section of (plan.sections ?? []).slice(0, before)) {
    divided.add(section['split'])
    if (section['mirror'] === true && typeof section['split'] === 'string') divided.add(swapped(section['split']))
  }
  return partNames(plan, before).filter((name) => !divided.has(name))
}

function freeName(taken: readonly string[], wanted: string): string {
  if (!taken.includes(wanted)) return wanted
  const stem = wanted.replace(/ \d+$/, '')
  for (let i = 2; ; i++) if (!taken.includes(`${stem} ${i}`)) return `${stem} ${i}`
}

// ---- steps ----

const steps = (plan: Plan): readonly Part[] => plan.steps ?? []
const withSteps = (plan: Plan, list: readonly Part[]): Plan => ({ ...plan, steps: list })

// Guides that name a step by its place ("step 2") where it has no name of its own go on meaning the same step.
function named(plan: Plan): Plan {
  const used = new Set(steps(plan).map((step) => valueAt(step as unknown as Plan, ['guide', 'step'])))
  const list = steps(plan).map((step, i) => (step['name'] === undefined && used.has(stepName(plan, i)) ? { ...step, name: stepName(plan, i) } : step))
  return list.some((step, i) => step !== steps(plan)[i]) ? withSteps(plan, list) : plan
}

export function addStep(plan: Plan, at = steps(plan).length, part?: string): Plan {
  const whole = named(plan)
  const worked = new Set(steps(plan).flatMap((step) => [step['section'], step['mirror']]))
  const section = part ?? leafNames(plan).find((name) => !worked.has(name)) ?? leafNames(plan).at(-1) ?? 'all'
  const twin = swapped(section)
  const pair = twin !== section && partNames(plan).includes(twin) && !worked.has(twin)
  const name = freeName(stepNames(whole), section === 'all' ? `step ${steps(plan).length + 1}` : section)
  const inches = plan.units === 'in'
  const step: Part = {
    name,
    section,
    ...(pair ? { mirror: twin } : {}),
    panels: { run: 'level', thickness: inches ? '3/4' : 2 },
    hold: { elevation: 90, carry: 'own' },
    line: 'straight',
    guide: { kind: 'travelling', length: inches ? 4 : 10 },
  }
  return withSteps(whole, [...steps(whole).slice(0, at), step, ...steps(whole).slice(at)])
}

export function duplicateStep(plan: Plan, at: number): Plan {
  const whole = named(plan)
  const step = steps(whole)[at]
  if (!step) return plan
  const copy: Part = { ...step, name: freeName(stepNames(whole), stepName(whole, at)) }
  return withSteps(whole, [...steps(whole).slice(0, at + 1), copy, ...steps(whole).slice(at + 1)])
}

// Left for right in everything that has a side: names of parts, places, directions, ends of a line.
function mirrored(value: Value, key = ''): Value {
  if (typeof value === 'string') return swapped(value)
  if (typeof value === 'number') return key === 'turn' || key === 'bearing' || key === 'centre' ? (value === 0 ? 0 : -value) : value
  if (Array.isArray(value)) return value.map((of: Value) => mirrored(of))
  if (value === null || typeof value !== 'object') return value
  return Object.fromEntries(Object.entries(value).map(([k, of]) => [k, mirrored(of, k)]))
}

// The step on the other side. Where the part has a twin, a step that worked on one side alone now works on both (`mirror`), and
// one that worked on both works on the side it is written for alone. null where there is no other side.
export function mirrorStep(plan: Plan, at: number): Plan | null {
  const step = steps(plan)[at]
  const section = step?.['section']
  if (!step || typeof section !== 'string') return null
  if (step['mirror'] !== undefined) return withSteps(plan, steps(plan).map((s, i) => (i === at ? without(s, 'mirror') : s)))
  const twin = swapped(section)
  if (twin === section || !partNames(plan).includes(twin)) return null
  return withSteps(plan, steps(plan).map((s, i) => (i === at ? insert(s, 'section', 'mirror', twin) : s)))
}

// A step of its own on the other side, after it. null where there is no other side.
export function otherSide(plan: Plan, at: number): Plan | null {
  const whole = named(plan)
  const step = steps(whole)[at]
  const section = step?.['section']
  if (!step || typeof section !== 'string' || swapped(section) === section || !partNames(plan).includes(swapped(section))) return null
  const { name: _, guide, ...rest } = step
  const wanted = swapped(stepName(whole, at))
  const other: Part = { name: freeName(stepNames(whole), wanted), ...(mirrored(without(rest, 'mirror')) as Part), ...(guide === undefined ? {} : { guide: mirroredGuide(guide) }) }
  const own = steps(whole).map((s, i) => (i === at ? without(s, 'mirror') : s))
  return withSteps(whole, [...own.slice(0, at + 1), other, ...own.slice(at + 1)])
}

// A guide's step keeps its name: it is a step's, not a part's.
function mirroredGuide(guide: Value): Value {
  const turned = mirrored(guide)
  const step = guide !== null && typeof guide === 'object' && !Array.isArray(guide) ? (guide as Part)['step'] : undefined
  return step === undefined ? turned : { ...(turned as Part), step }
}

function without(part: Part, key: string): Part {
  const { [key]: _, ...rest } = part
  return rest
}

// A key put right after another, so that a plan reads in the order that people write.
function insert(part: Part, after: string, key: string, value: Value): Part {
  const entries = Object.entries(part).filter(([k]) => k !== key)
  const at = entries.findIndex(([k]) => k === after) + 1
  return Object.fromEntries([...entries.slice(0, at), [key, value], ...entries.slice(at)])
}

export function removeStep(plan: Plan, at: number): Plan {
  const whole = named(plan)
  return withSteps(whole, steps(whole).filter((_, i) => i !== at))
}

// Takes the step at `from` to stand at `to`.
export function moveStep(plan: Plan, from: number, to: number): Plan {
  const whole = named(plan)
  const step = steps(whole)[from]
  const target = Math.max(0, Math.min(steps(whole).length - 1, to))
  if (!step || target === from) return plan
  const rest = steps(whole).filter((_, i) => i !== from)
  return withSteps(whole, [...rest.slice(0, target), step, ...rest.slice(target)])
}

// Whether carrying the plan out leaves this step out.
export const isOff = (step: Part | undefined): boolean => step?.['off'] === true

export function switchStep(plan: Plan, at: number): Plan {
  const whole = named(plan)
  return withSteps(whole, steps(whole).map((s, i) => (i !== at ? s : isOff(s) ? without(s, 'off') : { ...s, off: true })))
}

// A step's new name, and the same in the guides that name it. An empty name takes it out, unless a guide needs it.
export function renameStep(plan: Plan, at: number, name: string): Plan {
  const before = stepName(plan, at)
  return withSteps(
    plan,
    steps(plan).map((step, i) => {
      const own = i !== at ? step : name === '' ? without(step, 'name') : step['name'] === undefined ? { name, ...step } : { ...step, name }
      const guide = own['guide']
      const follows = i > at && guide !== null && typeof guide === 'object' && !Array.isArray(guide) && (guide as Part)['step'] === before
      return follows ? { ...own, guide: { ...(guide as Part), step: name === '' ? `step ${at + 1}` : name } } : own
    }),
  )
}

// ---- sections ----

const sections = (plan: Plan): readonly Part[] => plan.sections ?? []

export function addParting(plan: Plan): Plan {
  const leaf = leafNames(plan)[0] ?? 'all'
  const free = (name: string) => freeName(partNames(plan), name)
  const left = free(leaf === 'all' ? 'left' : `${leaf}, left`)
  const right = free(leaf === 'all' ? 'right' : `${leaf}, right`)
  const sided = /\b(left|right)\b/.test(leaf)
  const parting: Part = sided
    ? { split: leaf, parting: { level: 'occipital bone' }, into: [free(`${leaf}, upper`), free(`${leaf}, lower`)] }
    : { split: leaf, parting: { centre: 0 }, into: [left, right] }
  return { ...plan, sections: [...sections(plan), parting] }
}

export const removeParting = (plan: Plan, at: number): Plan => ({ ...plan, sections: sections(plan).filter((_, i) => i !== at) })

// Another name for one of the two parts of a parting, followed by whatever names it, its twin's too.
export function renamePart(plan: Plan, at: number, which: 0 | 1, name: string): Plan {
  const into = sections(plan)[at]?.['into']
  const before = Array.isArray(into) ? (into[which] as Value) : undefined
  if (typeof before !== 'string' || before === name || name === '') return plan
  const twin = sections(plan)[at]?.['mirror'] === true ? swapped(before) : null
  const rename = (value: Value | undefined): Value | undefined => (value === before ? name : twin !== null && value === twin ? swapped(name) : value)
  const follow = (part: Part, keys: readonly string[]): Part =>
    keys.some((key) => rename(part[key]) !== part[key]) ? { ...part, ...Object.fromEntries(keys.filter((k) => part[k] !== undefined).map((k) => [k, rename(part[k]) as Value])) } : part
  return {
    ...plan,
    sections: sections(plan).map((section, i) => {
      const own = follow(section, ['split'])
      return i === at ? { ...own, into: (into as Value[]).map((of, k) => (k === which ? name : of)) } : own
    }),
    steps: steps(plan).map((step) => follow(step, ['section', 'mirror'])),
  }
}

// What would be lost with a parting: the steps and partings that name its parts.
export function usesOfParting(plan: Plan, at: number): { readonly steps: readonly number[]; readonly partings: readonly number[] } {
  const section = sections(plan)[at]
  const into = (Array.isArray(section?.['into']) ? section['into'] : []) as Value[]
  const names = new Set<Value | undefined>([...into, ...(section?.['mirror'] === true ? into.map((n) => (typeof n === 'string' ? swapped(n) : n)) : [])])
  return {
    steps: steps(plan).flatMap((step, i) => (names.has(step['section']) || names.has(step['mirror']) ? [i] : [])),
    partings: sections(plan).flatMap((s, i) => (i > at && names.has(s['split']) ? [i] : [])),
  }
}

// What the core says a machine can do about a warning.
export const withEdits = (plan: Plan, edits: readonly Edit[]): Plan => edits.reduce((so, { path, value }) => withValue(so, path, value === null ? undefined : value), plan)
