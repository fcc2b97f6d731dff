// The form for the head: what a tape can measure, each with a drawing of where it goes on this very head. What is left out the core
// fills in from the others; figures that contradict each other are told at once, beside the ones they name.
import { effect } from '@preact/signals-core'
import { html, nothing, render, svg, type TemplateResult } from 'lit-html'
import type { Bust, Measure } from '../core/messages'
import { control } from '../plan/control'
import { createDesk, keyOf, type Desk } from '../plan/desk'
import { fieldAt, spoken, type Field } from '../plan/table'
import { lengthText } from '../readings/figure'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { drawingOf, sideOf, type Drawing } from './drawing'

// Drawings are made once for a head.
interface Drawn {
  readonly of: Bust | null
  readonly tapes: unknown
  readonly drawings: ReadonlyMap<string, Drawing>
}

function drawn(bust: Bust, measures: readonly Measure[]): ReadonlyMap<string, Drawing> {
  return new Map(measures.filter(({ tape }) => tape.length > 0).map(({ name, tape }) => [name, drawingOf(bust, tape, sideOf(name))]))
}

const picture = (drawing: Drawing): TemplateResult =>
  html`<svg class="tape" viewBox=${drawing.box} aria-hidden="true" focusable="false">
    <path class="tape-head" d=${drawing.head} />
    ${drawing.far ? svg`<path class="tape-far" d=${drawing.far} />` : nothing}
    ${drawing.near ? svg`<path class="tape-near" d=${drawing.near} />` : nothing}
    ${drawing.ends.map(([x, y]) => svg`<circle class="tape-end" cx=${x} cy=${y} r="3.5" />`)}
  </svg>`

function row(desk: Desk, field: Field, measure: Measure | undefined, drawing: Drawing | undefined): TemplateResult {
  const { store, text } = desk
  const plan = store.plan.value
  const path = ['head', field.key]
  const given = plan.head?.[field.key] !== undefined
  const fault = store.fault.value?.place === field.key ? store.fault.value : null
  const label = spoken(field.key)
  const help = `measure-${keyOf(path)}`
  const show = () => void (store.tape.value = field.key)
  return html`<li class="measure" data-shown=${store.tape.value === field.key ? '' : nothing} @focusin=${show} @pointerenter=${show}>
    ${drawing ? picture(drawing) : html`<span class="tape"></span>`}
    <div>
      <p class="measure-name">${label}</p>
      <p class="field-help" id=${help}>${field.help}</p>
      <p class="measure-value">
        ${control(desk, field.shape, { path, label, help })}
        ${given
          ? html`<button type="button" class="quiet small" aria-label=${text.measures.leaveOutOf(label)} @click=${() => desk.set(path, undefined)}>${text.measures.leaveOut}</button>`
          : measure
            ? html`<span class="quiet-text">${text.measures.likely(lengthText(measure.length, plan.units))}</span>`
            : nothing}
      </p>
      ${fault ? html`<p class="trouble" role="alert">${fault.message}. ${fault.remedy}</p>` : nothing}
    </div>
  </li>`
}

function form(desk: Desk, drawings: ReadonlyMap<string, Drawing>): TemplateResult {
  const { store, text, table } = desk
  const measured = new Map(store.measured.value?.measures.map((measure) => [measure.name, measure]))
  const word = (key: string): TemplateResult | typeof nothing => {
    const field = fieldAt(table, ['head', key])?.field
    const label = spoken(key)
    return field ? html`<div class="measure-word"><span>${label}</span> <div>${control(desk, field.shape, { path: ['head', key], label })}</div></div>` : nothing
  }
  const shape = table.plan.fields.find(({ key }) => key === 'head')?.shape
  const fields = shape?.kind === 'object' ? shape.fields.filter(({ key }) => measured.has(key)) : []
  return html`<p class="quiet-text">${text.measures.about}</p>
    ${word('kind')} ${word('hairline')}
    <ul class="measure-list">
      ${fields.map((field) => row(desk, field, measured.get(field.key), drawings.get(field.key)))}
    </ul>`
}

// Nothing is drawn while nobody sees it.
export function mountMeasures(root: HTMLElement, store: Store, text: Text, seen: () => boolean): void {
  let desk: Desk | null = null
  let last: Drawn = { of: null, tapes: null, drawings: new Map() }
  effect(() => {
    const table = store.table.value
    if (!table || !seen()) return
    desk ??= createDesk(store, text, table)
    const bust = store.bust.value
    const measured = store.measured.value
    if (bust && measured && bust.head === measured.head && (bust !== last.of || measured !== last.tapes))
      last = { of: bust, tapes: measured, drawings: drawn(bust, measured.measures) }
    render(form(desk, last.drawings), root)
  })
  root.addEventListener('pointerleave', () => void (store.tape.value = ''))
  root.addEventListener('focusout', (event) => {
    if (!root.contains(event.relatedTarget as Node | null)) store.tape.value = ''
  })
}
