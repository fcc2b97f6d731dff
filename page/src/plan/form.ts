// Everything that an object of the plan may say, asked for field by field. A field that does not go with what its neighbours say is
// not asked for.
import { html, nothing, type TemplateResult } from 'lit-html'
import { repeat } from 'lit-html/directives/repeat.js'
import type { Path } from '../state/plan'
import { valueAt } from '../state/plan'
import { control } from './control'
import { keyOf, type Desk } from './desk'
import { inPlan } from './edit'
import { saidValue } from './label'
import { allowed, helpOf, needed, partAt, spoken, type Field, type ObjectShape } from './table'

export interface Part {
  readonly only?: readonly Field[] // these fields
  readonly without?: readonly string[] // or all but these
}

function whenLeftOut(desk: Desk, field: Field): string {
  const plan = desk.store.plan.value
  if (field.default !== undefined) return saidValue(inPlan(field.default, field, plan), field.shape, plan, desk.text)
  return field.absent?.replaceAll('`', '') ?? ''
}

function row(desk: Desk, object: ObjectShape, path: Path, field: Field): TemplateResult {
  const at = [...path, field.key]
  const said = valueAt(desk.store.plan.value, at) !== undefined
  const must = needed(field, partAt(desk.store.plan.value, path), object)
  const label = spoken(field.key)
  const help = `help-${keyOf(at)}`
  const shape = field.shape
  const inner = shape.kind === 'object'
  return html`<div class=${inner ? 'field nested' : 'field'}>
    <div class="field-name">
      <span class="field-label">${label}</span>
      ${said && !must ? html`<button type="button" class="quiet small" aria-label=${desk.text.plan.leaveOutOf(label)} @click=${() => desk.set(at, undefined)}>${desk.text.plan.leaveOut}</button>` : nothing}
    </div>
    <p class="field-help" id=${help}>${helpOf(field)}${said || must || inner ? nothing : html` <em>${desk.text.plan.whenLeftOut(whenLeftOut(desk, field))}</em>`}</p>
    ${control(desk, shape, { path: at, label, help })}
  </div>`
}

export function formOf(desk: Desk, object: ObjectShape, path: Path, part: Part = {}): TemplateResult {
  const record = partAt(desk.store.plan.value, path)
  const fields = (part.only ?? object.fields).filter((field) => !part.without?.includes(field.key) && (allowed(field, record, object) || record[field.key] !== undefined))
  return html`<div class="form">${repeat(fields, (field) => field.key, (field) => row(desk, object, path, field))}</div>`
}
