// Controls for one value of the plan, by what the table says of it.
import { html, nothing, type TemplateResult } from 'lit-html'
import { live } from 'lit-html/directives/live.js'
import type { Part, Path, Value } from '../state/plan'
import { valueAt } from '../state/plan'
import { general, keyOf, type Desk } from './desk'
import { exampleOf, inPlan, partNames, stepNames } from './edit'
import { saidValue } from './label'
import { figureOf, inUnits, kept, numberOf, readNumber, stepped, unitAfter, type Read } from './number'
import { fieldAt, shapeAt, spoken, type Field, type NumberShape, type ObjectShape, type Shape, type Word } from './table'
import { formOf } from './form'

export interface Asked {
  readonly path: Path
  readonly label: string // what a screen reader calls it
  readonly help?: string // id of the element that explains it
}

const isRecord = (value: Value | undefined): value is Part => value !== null && typeof value === 'object' && !Array.isArray(value)

// What stands there, or what the plan does where nothing stands.
function effective(desk: Desk, path: Path): Value | undefined {
  const plan = desk.store.plan.value
  const value = valueAt(plan, path)
  if (value !== undefined) return value
  const field = fieldAt(desk.table, path)?.field
  return field?.default === undefined ? undefined : inPlan(field.default, field, plan)
}

// ---- numbers ----

export function faultText(desk: Desk, read: Read, shape: NumberShape, example: string): string {
  if (!('fault' in read)) return ''
  const { units } = desk.store.plan.peek()
  const unit = unitAfter(shape.unit, units)
  const figure = (value: number) => figureOf(Number(inUnits(value, shape.unit, units).toFixed(2)), shape.unit, units) + (unit === '°' ? unit : unit && ` ${unit}`)
  return desk.text.plan.numberFault(read.fault, figure(shape.low), figure(shape.high), example)
}

export function numberControl(desk: Desk, shape: NumberShape, asked: Asked, inline = false): TemplateResult {
  const { path, label } = asked
  const { store, text } = desk
  const plan = store.plan.value
  const { units } = plan
  const key = keyOf(path)
  const said = valueAt(plan, path)
  const value = numberOf(effective(desk, path))
  const typed = desk.typed.value.get(key)
  const field = fieldAt(desk.table, path)?.field
  const example = field ? saidValue(exampleOf(field, plan), shape, plan, text) : figureOf(inUnits(shape.low, shape.unit, units), shape.unit, units)
  const shown = typed?.text ?? (said === undefined && field?.default === undefined ? '' : Number.isNaN(value) ? String(said ?? '') : figureOf(value, shape.unit, units))
  const fault = typed?.fault ?? ''
  const step = (way: 1 | -1, fine: boolean): void => {
    desk.type(path, null)
    const from = Number.isNaN(value) ? numberOf(field ? exampleOf(field, plan) : inUnits(shape.low, shape.unit, units)) : value
    desk.set(path, kept(Number.isNaN(value) ? from : stepped(from, way, shape, units, fine), shape, units), `step ${key}`)
  }
  const onInput = (event: Event): void => {
    const { value: typing } = event.target as HTMLInputElement
    const word = shape.words?.find((w) => w.text === typing.trim().toLowerCase())
    const read = word ? { value: NaN } : readNumber(typing, shape, units)
    const before = typed ? typed.before : said
    desk.type(path, { text: typing, fault: faultText(desk, read, shape, example), before })
    if ('fault' in read) return desk.set(path, before, `type ${key}`) // as if none of it had been typed
    desk.set(path, word ? word.text : kept(read.value, shape, units), `type ${key}`)
  }
  const onBlur = (): void => {
    desk.leave(path)
    store.settle()
  }
  const onKey = (event: KeyboardEvent): void => {
    if (event.altKey || event.ctrlKey || event.metaKey) return
    const way = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0
    if (way === 0) return
    event.preventDefault()
    step(way, event.shiftKey)
  }
  const unit = unitAfter(shape.unit, units)
  return html`<span class=${inline ? 'number inline' : 'number'}
      ><button type="button" class="pace" tabindex="-1" aria-label=${text.plan.less(label)} @click=${(e: MouseEvent) => step(-1, e.shiftKey)}>−</button
      ><input
        type="text"
        inputmode=${units === 'in' && shape.unit === 'length' ? 'text' : 'decimal'}
        autocomplete="off"
        spellcheck="false"
        id=${`value-${key}`}
        size=${Math.max(3, shown.length)}
        aria-label=${unit === '' ? label : `${label}, ${text.plan.unitNames[unit] ?? unit}`}
        aria-invalid=${fault === '' ? 'false' : 'true'}
        aria-describedby=${fault === '' ? (asked.help ?? nothing) : `fault-${key}`}
        .value=${live(shown)}
        @input=${onInput}
        @blur=${onBlur}
        @keydown=${onKey}
      />${unit === '' ? nothing : html`<span class="unit" aria-hidden="true">${unit}</span>`}<button
        type="button"
        class="pace"
        tabindex="-1"
        aria-label=${text.plan.greater(label)}
        @click=${(e: MouseEvent) => step(1, e.shiftKey)}
      >
        +
      </button></span
    >${shape.words && !inline
      ? html`<span class="chips" role="group" aria-label=${label}
          >${shape.words.map(
            (word) =>
              html`<button type="button" class="chip" title=${word.help} aria-pressed=${Math.abs(numberOf(word.text) - value) < 1e-9 ? 'true' : 'false'} @click=${() => desk.set(path, word.text)}>
                ${word.text}
              </button>`,
          )}</span
        >`
      : nothing}${fault === '' ? nothing : html`<span class="wrong" id=${`fault-${key}`} role="alert">${fault}</span>`}`
}

// ---- words ----

interface Option {
  readonly id: string
  readonly name: string
  readonly help: string
}

// One of several, each with its help: as buttons one sees at once, or as a list that opens.
function options(asked: Asked, all: readonly Option[], chosen: string, choose: (id: string) => void, wide: boolean): TemplateResult {
  const key = keyOf(asked.path)
  if (wide)
    return html`<fieldset class="choices">
      <legend class="unseen">${asked.label}</legend>
      ${all.map(
        (option) =>
          html`<label class="choice"
            ><input type="radio" name=${`value-${key}`} .checked=${live(option.id === chosen)} @change=${() => choose(option.id)} /><span class="choice-name">${option.name}</span
            ><span class="choice-help">${option.help}</span></label
          >`,
      )}
    </fieldset>`
  const help = all.find((option) => option.id === chosen)?.help ?? ''
  return html`<select id=${`value-${key}`} aria-label=${asked.label} aria-describedby=${help ? `about-${key}` : (asked.help ?? nothing)} @change=${(e: Event) => choose((e.target as HTMLSelectElement).value)}>
      ${all.map((option) => html`<option value=${option.id} title=${option.help} .selected=${live(option.id === chosen)}>${option.name}</option>`)}
    </select>
    ${help ? html`<span class="about" id=${`about-${key}`}>${help}</span>` : nothing}`
}

const LEFT_OUT = '\u0000'

function leftOut(desk: Desk, field: Field | undefined): Option[] {
  if (!field || field.required || field.default !== undefined) return []
  return [{ id: LEFT_OUT, name: desk.text.plan.notSaid, help: field.absent?.replaceAll('`', '') ?? '' }]
}

const wordOptions = (words: readonly Word[]): Option[] => words.map((word) => ({ id: word.text, name: word.text, help: word.help }))

function wordControl(desk: Desk, words: readonly Word[], asked: Asked, wide: boolean): TemplateResult {
  const field = fieldAt(desk.table, asked.path)?.field
  const value = effective(desk, asked.path)
  const set = (id: string) => desk.set(asked.path, id === LEFT_OUT ? undefined : id)
  return options(asked, [...wordOptions(words), ...leftOut(desk, field)], value === undefined ? LEFT_OUT : String(value), set, wide)
}

// ---- names and places ----

// The names that a text may be: parts of the head, or steps before this one.
function namesFor(desk: Desk, path: Path): string[] | null {
  const plan = desk.store.plan.value
  const at = path[1] as number
  switch (general(path)) {
    case 'steps[].section':
      return partNames(plan)
    case 'steps[].mirror':
      return partNames(plan).filter((name) => name !== 'all')
    case 'sections[].split':
      return partNames(plan, at)
    case 'steps[].guide.step':
      return stepNames(plan).slice(0, at)
    default:
      return null
  }
}

function textControl(desk: Desk, shape: Shape & { kind: 'text' }, asked: Asked, wide: boolean): TemplateResult {
  const { path, label } = asked
  const field = fieldAt(desk.table, path)?.field
  const value = valueAt(desk.store.plan.value, path)
  const names = namesFor(desk, path)
  const set = (text: string): void => {
    const bytes = new TextEncoder().encode(text).length
    const fault = bytes > shape.most ? desk.text.plan.tooLong(shape.most) : text === '' && field?.required ? desk.text.plan.needsName : ''
    desk.type(path, fault === '' ? null : { text, fault })
    if (fault === '') desk.set(path, text === '' ? undefined : text, `type ${keyOf(path)}`)
  }
  if (names) {
    const said = typeof value === 'string' ? value : ''
    const all = said === '' || names.includes(said) ? names : [...names, said]
    const listed = all.map((name) => ({ id: name, name: name === 'all' ? desk.text.plan.wholeHead : name, help: '' }))
    return options(asked, [...listed, ...leftOut(desk, field)], said || LEFT_OUT, (id) => desk.set(path, id === LEFT_OUT ? undefined : id), wide)
  }
  const typed = desk.typed.value.get(keyOf(path))
  const shown = typed?.text ?? (typeof value === 'string' ? value : '')
  const common = (event: Event) => set((event.target as HTMLInputElement).value)
  const wrong = typed?.fault ? html`<span class="wrong" role="alert" id=${`fault-${keyOf(path)}`}>${typed.fault}</span>` : nothing
  return shape.lines
    ? html`<textarea id=${`value-${keyOf(path)}`} rows="3" aria-label=${label} .value=${live(shown)} @input=${common} @blur=${() => desk.store.settle()}></textarea>${wrong}`
    : html`<input type="text" id=${`value-${keyOf(path)}`} aria-label=${label} aria-invalid=${typed?.fault ? 'true' : 'false'} .value=${live(shown)} @input=${common} @blur=${() => desk.store.settle()} />${wrong}`
}

const landmarkOptions = (desk: Desk): Option[] => desk.table.landmarks.map((name) => ({ id: name, name, help: '' }))

function landmarkControl(desk: Desk, asked: Asked, extra: readonly Option[] = []): TemplateResult {
  const value = valueAt(desk.store.plan.value, asked.path)
  return options(asked, [...landmarkOptions(desk), ...extra], typeof value === 'string' ? value : LEFT_OUT, (id) => desk.set(asked.path, id === LEFT_OUT ? undefined : id), false)
}

function placeControl(desk: Desk, asked: Asked): TemplateResult {
  const { path } = asked
  const value = valueAt(desk.store.plan.value, path)
  const between = isRecord(value)
  const field = fieldAt(desk.table, path)?.field
  const turn = (on: boolean): void => {
    const from = typeof value === 'string' ? value : isRecord(value) ? String(value['from']) : 'crown'
    const to = desk.table.landmarks.find((name) => name !== from) ?? 'apex'
    desk.set(path, on ? { from, to, at: 'half' } : from)
  }
  const at = shapeAt(desk.table, path)
  const share: NumberShape = { kind: 'number', low: 0, high: 1, fraction: true, words: [] }
  void at
  return html`<span class="place">
    ${between
      ? html`${numberControl(desk, share, { path: [...path, 'at'], label: desk.text.plan.share })}
          <span>${desk.text.plan.ofTheWay}</span> ${landmarkControl(desk, { path: [...path, 'from'], label: desk.text.plan.wayFrom })} <span>${desk.text.plan.to}</span> ${landmarkControl(desk, {
            path: [...path, 'to'],
            label: desk.text.plan.wayTo,
          })}`
      : landmarkControl(desk, asked, leftOut(desk, field))}
    <label class="tick"><input type="checkbox" .checked=${live(between)} @change=${(e: Event) => turn((e.target as HTMLInputElement).checked)} />${desk.text.plan.onTheWay}</label>
  </span>`
}

// ---- choices between shapes ----

function objectOf(shape: Shape): ObjectShape | null {
  return shape.kind === 'object' ? shape : null
}

const OTHER = '\u0001'

// "straight", "follow", or an object: one list of all that it may be, then what the chosen one needs.
function eitherControl(desk: Desk, shapes: readonly Shape[], asked: Asked, wide: boolean): TemplateResult {
  const { path } = asked
  const plan = desk.store.plan.value
  const field = fieldAt(desk.table, path)?.field
  const words = shapes.flatMap((shape) => (shape.kind === 'word' ? shape.words : []))
  const object = shapes.map(objectOf).find((shape) => shape !== null) ?? null
  const keys = object?.exactly_one ?? []
  const value = valueAt(plan, path)
  const first = words[0]?.text
  const chosen = isRecord(value) ? (keys.find((key) => value[key] !== undefined) ?? OTHER) : value === undefined ? (field?.absent === undefined || field.absent.startsWith('"') ? (first ?? LEFT_OUT) : LEFT_OUT) : String(value)
  const all: Option[] = [
    ...wordOptions(words),
    ...keys.map((key) => ({ id: key, name: spoken(key), help: object?.fields.find((f) => f.key === key)?.help ?? '' })),
    ...(object && keys.length === 0 ? [{ id: OTHER, name: desk.text.plan.other(spoken(String(path.at(-1)))), help: object.fields.map((f) => f.help).join(' ') }] : []),
    ...(chosen === LEFT_OUT || (field?.absent !== undefined && !field.absent.startsWith('"')) ? leftOut(desk, field) : []),
  ]
  const choose = (id: string): void => {
    if (id === LEFT_OUT) return desk.set(path, undefined)
    if (words.some((word) => word.text === id)) return desk.set(path, id)
    const fields = object?.fields ?? []
    const fresh = id === OTHER ? fields.filter((f) => f.required) : fields.filter((f) => f.key === id)
    const made: Record<string, Value> = {}
    for (const one of fresh) made[one.key] = exampleWhole(desk, one)
    const needs = fields.filter((f) => f.needed_by?.includes(id))
    for (const one of needs) made[one.key] = exampleWhole(desk, one)
    desk.set(path, made)
  }
  return html`${options(asked, all, chosen, choose, wide)}${isRecord(value) && object
    ? html`<div class="inner">${formOf(desk, object, path, { only: keys.length ? object.fields.filter((f) => !keys.includes(f.key) || f.key === chosen) : object.fields })}</div>`
    : nothing}`
}

// An example of a field with its lengths in the plan's unit, also inside objects.
function exampleWhole(desk: Desk, field: Field): Value {
  const plan = desk.store.plan.peek()
  const shape = field.shape
  if (shape.kind === 'object' && isRecord(field.example)) {
    const made: Record<string, Value> = {}
    for (const inner of shape.fields) if (field.example[inner.key] !== undefined) made[inner.key] = inPlan(field.example[inner.key] as Value, inner, plan)
    return made
  }
  return exampleOf(field, plan)
}

// ---- lists ----

function listControl(desk: Desk, shape: Shape & { kind: 'list' }, asked: Asked): TemplateResult {
  const { path, label } = asked
  const value = valueAt(desk.store.plan.value, path)
  const field = fieldAt(desk.table, path)?.field
  const list = Array.isArray(value) ? (value as Value[]) : []
  const sample = Array.isArray(field?.example) ? ((field.example as Value[])[0] as Value) : 0
  const fresh = (): Value => (shape.element.kind === 'object' ? exampleWhole(desk, { key: '', help: '', takes: '', example: sample, shape: shape.element }) : sample)
  return html`<ol class="list" aria-label=${label}>
      ${list.map(
        (_, i) =>
          html`<li>
            ${control(desk, shape.element, { path: [...path, i], label: desk.text.plan.nth(label, i + 1) })}
            ${list.length > shape.least
              ? html`<button type="button" class="quiet" aria-label=${desk.text.plan.removeNth(label, i + 1)} @click=${() => desk.set(path, list.length === 1 ? undefined : list.filter((__, k) => k !== i))}>×</button>`
              : nothing}
          </li>`,
      )}
    </ol>
    ${list.length < shape.most ? html`<button type="button" class="quiet" @click=${() => desk.set(path, [...list, fresh()])}>${desk.text.plan.addTo(label)}</button>` : nothing}`
}

// ---- any ----

export function control(desk: Desk, shape: Shape, asked: Asked, wide = false): TemplateResult {
  switch (shape.kind) {
    case 'number':
    case 'whole':
      return numberControl(desk, shape, asked)
    case 'flag': {
      const on = effective(desk, asked.path) === true
      return html`<label class="tick"
        ><input type="checkbox" id=${`value-${keyOf(asked.path)}`} .checked=${live(on)} @change=${(e: Event) => desk.set(asked.path, (e.target as HTMLInputElement).checked ? true : undefined)} />${on ? desk.text.plan.yes : desk.text.plan.no}<span
          class="unseen"
          >, ${asked.label}</span
        ></label
      >`
    }
    case 'word':
      return wordControl(desk, shape.words, asked, wide)
    case 'text':
      return textControl(desk, shape, asked, wide)
    case 'landmark':
      return landmarkControl(desk, asked)
    case 'place':
      return placeControl(desk, asked)
    case 'either':
      return eitherControl(desk, shape.options, asked, wide)
    case 'list':
      return listControl(desk, shape, asked)
    case 'object':
      return html`<div class="inner">${formOf(desk, shape, asked.path)}</div>`
  }
}
