// A sentence of the core, in which what the plan chose can be taken hold of: a number becomes a field in its place, a choice opens
// below the sentence.
import { html, nothing, type TemplateResult } from 'lit-html'
import { repeat } from 'lit-html/directives/repeat.js'
import type { Run } from '../core/messages'
import type { Path } from '../state/plan'
import { valueAt } from '../state/plan'
import { control, numberControl } from './control'
import { keyOf, type Desk } from './desk'
import { fieldAt, helpOf, pathOf, shapeAt, spoken, type NumberShape, type Shape } from './table'

interface Held {
  readonly path: Path
  readonly shape: Shape
  readonly label: string
  readonly help: string
}

function heldBy(desk: Desk, run: Run, at: number): Held | null {
  if (run.field === undefined) return null
  const path = pathOf(run.field, at)
  const shape = shapeAt(desk.table, path)
  const field = fieldAt(desk.table, path)?.field ?? fieldAt(desk.table, path.slice(0, -1))?.field
  if (!shape || !field) return null
  return { path, shape, label: spoken(field.key), help: helpOf(field) }
}

const plainNumber = (shape: Shape): shape is NumberShape => (shape.kind === 'number' && !shape.words?.length) || shape.kind === 'whole'

// What must be open for a run of a sentence: the sentence's own key, the place in it, and the field.
const openKey = (sentence: string, path: Path): string => `${sentence} ${keyOf(path)}`

function close(desk: Desk, sentence: string, path: Path): void {
  desk.store.settle()
  desk.open.value = null
  const key = openKey(sentence, path)
  document.querySelector<HTMLElement>(`[data-word="${CSS.escape(key)}"]`)?.focus()
}

function open(desk: Desk, sentence: string, path: Path): void {
  desk.store.settle()
  desk.open.value = openKey(sentence, path)
  const place = document.querySelector(`[data-open="${CSS.escape(openKey(sentence, path))}"]`)
  const first = place?.querySelector<HTMLElement>('input:checked, input:not([type=radio]), select, textarea')
  first?.focus()
  if (first instanceof HTMLInputElement && first.type === 'text') first.select()
}

const onKeys = (desk: Desk, sentence: string, path: Path) => (event: KeyboardEvent) => {
  if (event.key !== 'Escape' && event.key !== 'Enter') return
  if (event.key === 'Enter' && (event.target instanceof HTMLButtonElement || event.target instanceof HTMLTextAreaElement)) return
  event.preventDefault()
  event.stopPropagation()
  close(desk, sentence, path)
}

// Leaves a number when the hand goes on to something else.
const onLeave = (desk: Desk, key: string) => (event: FocusEvent) => {
  const place = event.currentTarget as HTMLElement
  if (event.relatedTarget instanceof Node && place.contains(event.relatedTarget)) return
  if (event.relatedTarget === null) return
  if (desk.open.peek() === key && !place.querySelector('[aria-invalid="true"]')) {
    desk.store.settle()
    desk.open.value = null
  }
}

function word(desk: Desk, sentence: string, run: Run, held: Held): TemplateResult {
  const key = openKey(sentence, held.path)
  const isOpen = desk.open.value === key
  const number = plainNumber(held.shape) && valueAt(desk.store.plan.value, held.path) !== null
  if (isOpen && number)
    return html`<span class="word-open" data-open=${key} @keydown=${onKeys(desk, sentence, held.path)} @focusout=${onLeave(desk, key)}
      >${numberControl(desk, held.shape as NumberShape, { path: held.path, label: held.label }, true)}</span
    >`
  const turn = () => (isOpen ? close(desk, sentence, held.path) : open(desk, sentence, held.path))
  const press = (event: KeyboardEvent): void => {
    if (event.key !== 'Enter' && event.key !== ' ') return
    event.preventDefault()
    turn()
  }
  // A button that breaks between its words as the rest of the sentence does.
  return html`<span
    role="button"
    tabindex="0"
    class=${number ? 'word figure' : 'word'}
    data-word=${key}
    aria-label=${`${run.text}, ${held.label}`}
    aria-expanded=${number ? nothing : isOpen ? 'true' : 'false'}
    title=${held.help}
    @click=${turn}
    @keydown=${press}
    >${run.text}</span
  >`
}

// What is open below the sentence, where it is a choice.
function card(desk: Desk, sentence: string, held: Held): TemplateResult {
  const key = openKey(sentence, held.path)
  return html`<div class="card" data-open=${key} role="group" aria-label=${held.label} @keydown=${onKeys(desk, sentence, held.path)}>
    <div class="card-head">
      <strong>${held.label}</strong>
      <button type="button" class="quiet small" @click=${() => close(desk, sentence, held.path)}>${desk.text.plan.done}</button>
    </div>
    <p class="field-help">${held.help}</p>
    ${control(desk, held.shape, { path: held.path, label: held.label }, true)}
  </div>`
}

export function sentence(desk: Desk, key: string, runs: readonly Run[], at: number): TemplateResult {
  const helds = runs.map((run) => heldBy(desk, run, at))
  const opened = helds.find((held) => held !== null && !plainNumber(held.shape) && desk.open.value === openKey(key, held.path))
  return html`<p class="says">
      ${repeat(
        runs,
        (_, i) => i,
        (run, i) => {
          const held = helds[i]
          return held ? word(desk, key, run, held) : run.text
        },
      )}
    </p>
    ${opened ? card(desk, key, opened) : nothing}`
}
