// The plan in words: its head line, the partings and the steps as sentences whose numbers are the controls, and everything else that
// it may say.
import { computed, effect, signal } from '@preact/signals-core'
import { html, nothing, render, type TemplateResult } from 'lit-html'
import { live } from 'lit-html/directives/live.js'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { createDesk, keyOf, type Desk } from './desk'
import type { Drag } from './drag'
import { formOf } from './form'
import { createKeys } from './keys'
import { partingList } from './sections'
import { stepList, type Steps } from './steps'
import { fieldAt, spoken, type ObjectShape } from './table'
import { faultNote } from './fault'
import { belongs } from './place'

export interface Panel {
  dispose(): void
}

function line(desk: Desk, key: 'title' | 'person' | 'note'): TemplateResult {
  const path = [key]
  const field = fieldAt(desk.table, path)?.field
  const value = desk.store.plan.value[key]
  const typed = desk.typed.value.get(keyOf(path))
  const shape = field?.shape
  const most = shape?.kind === 'text' ? shape.most : 255
  const input = (event: Event): void => {
    const { value: text } = event.target as HTMLInputElement
    const long = new TextEncoder().encode(text).length > most
    desk.type(path, long ? { text, fault: desk.text.plan.tooLong(most) } : null)
    if (!long) desk.set(path, text === '' ? undefined : text, `type ${key}`)
  }
  const shown = typed?.text ?? (typeof value === 'string' ? value : '')
  const field_ =
    key === 'note'
      ? html`<textarea id="plan-note" rows="2" .value=${live(shown)} @input=${input} @blur=${() => desk.store.settle()}></textarea>`
      : html`<input id=${`plan-${key}`} type="text" .value=${live(shown)} @input=${input} @blur=${() => desk.store.settle()} />`
  return html`<div class=${`line ${key}`}>
    <label for=${`plan-${key}`} title=${field?.help ?? ''}>${spoken(key)}</label>${field_}${typed?.fault ? html`<span class="wrong" role="alert">${typed.fault}</span>` : nothing}
  </div>`
}

// A part of the plan that is no sentence: hair, how it is worn, hands.
function drawer(desk: Desk, key: string): TemplateResult | typeof nothing {
  const field = fieldAt(desk.table, [key])?.field
  if (!field || field.shape.kind !== 'object') return nothing
  const id = `drawer-${key}`
  const open = desk.more.value.has(id)
  const fault = desk.store.fault.value
  const here = fault ? belongs(fault, desk.store.plan.value) : null
  const toggle = (event: Event): void => {
    const isOpen = (event.currentTarget as HTMLDetailsElement).open
    if (isOpen === desk.more.peek().has(id)) return
    const next = new Set(desk.more.peek())
    if (isOpen) next.add(id)
    else next.delete(id)
    desk.more.value = next
  }
  return html`<details class="drawer" .open=${open} @toggle=${toggle}>
    <summary><span>${spoken(key)}</span><span class="quiet-text">${field.help}</span></summary>
    ${fault && here?.kind === 'plan' && here.key === key ? faultNote(desk, fault) : nothing} ${open ? formOf(desk, field.shape as ObjectShape, [key]) : nothing}
  </details>`
}

function unplaced(desk: Desk): TemplateResult | typeof nothing {
  const fault = desk.store.fault.value
  if (!fault) return nothing
  const here = belongs(fault, desk.store.plan.value)
  return here.kind === 'plan' && !['hair', 'worn', 'hands'].includes(here.key) ? faultNote(desk, fault) : nothing
}

function panel(desk: Desk, steps: Steps, partings: Steps['keys']): TemplateResult {
  const { text } = desk
  return html`<div class="lines">${line(desk, 'title')} ${line(desk, 'person')} ${line(desk, 'note')}</div>
    ${unplaced(desk)} ${partingList(desk, partings)} ${stepList(desk, steps)}
    <section class="part" aria-labelledby="rest-title">
      <h2 id="rest-title">${text.plan.rest}</h2>
      ${['hair', 'worn', 'hands'].map((key) => drawer(desk, key))}
    </section>`
}

export function mountPlan(root: HTMLElement, store: Store, text: Text): Panel {
  const body = document.createElement('div')
  body.className = 'plan-body'
  const spokenTo = document.createElement('p')
  spokenTo.className = 'unseen'
  spokenTo.setAttribute('role', 'status')
  const frame = document.createElement('div')
  frame.className = 'panel-frame'
  frame.append(body, spokenTo)
  root.append(frame)
  const steps: Steps = { keys: createKeys('step-'), drag: signal<Drag | null>(null) }
  const partings = createKeys('parting-')
  let desk: Desk | null = null
  const drawn = effect(() => {
    const table = store.table.value
    if (!table) return
    desk ??= createDesk(store, text, table)
    render(panel(desk, steps, partings), body)
    spokenTo.textContent = desk.said.value
  })
  // What was chosen elsewhere comes into sight.
  const followed = effect(() => {
    const chosen = store.chosen.value
    if (chosen.kind !== 'step' && chosen.kind !== 'section') return
    requestAnimationFrame(() => {
      const card = body.querySelector<HTMLElement>('[data-chosen]')
      if (card && !card.contains(document.activeElement)) card.scrollIntoView({ block: 'nearest' })
    })
  })
  // So does the moment of a cut that is watched.
  const played = computed(() => store.playing.value?.step ?? -1)
  const watched = effect(() => {
    if (played.value < 0) return
    requestAnimationFrame(() => {
      body.querySelector('[data-playing]')?.scrollIntoView({ block: 'nearest' })
      body.querySelector('[data-playing] .moment')?.scrollIntoView({ block: 'nearest' })
    })
  })
  return {
    dispose() {
      drawn()
      followed()
      watched()
      frame.remove()
    },
  }
}
