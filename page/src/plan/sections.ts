// The partings: how the head is divided, in order.
import { html, nothing, type TemplateResult } from 'lit-html'
import { repeat } from 'lit-html/directives/repeat.js'
import type { Part, Plan } from '../state/plan'
import type { Desk } from './desk'
import { addParting, removeParting, usesOfParting } from './edit'
import { faultNote } from './fault'
import { formOf } from './form'
import type { Keys } from './keys'
import { belongs } from './place'
import { sentence } from './sentence'
import { fieldAt, type ObjectShape } from './table'

// Which of the core's partings is that of an entry: a mirrored one makes two.
export const wordsAt = (plan: Plan, at: number): number => (plan.sections ?? []).slice(0, at).reduce((n, section) => n + (section['mirror'] === true ? 2 : 1), 0)

function sectionObject(desk: Desk): ObjectShape {
  const shape = fieldAt(desk.table, ['sections'])?.field.shape
  return (shape?.kind === 'list' ? shape.element : shape) as ObjectShape
}

function choose(desk: Desk, at: number): void {
  const now = desk.store.chosen.peek()
  if (now.kind !== 'section' || now.at !== at) desk.store.chosen.value = { kind: 'section', at }
}

function card(desk: Desk, section: Part, at: number, key: string): TemplateResult {
  const { store, text } = desk
  const plan = store.plan.value
  const runs = store.words.value?.partings[wordsAt(plan, at)]
  const chosen = store.chosen.value.kind === 'section' && store.chosen.value.at === at
  const open = desk.more.value.has(key)
  const fault = store.fault.value
  const here = fault ? belongs(fault, plan) : null
  const uses = usesOfParting(plan, at)
  const used = uses.steps.length + uses.partings.length
  const name = String(section['split'] ?? '')
  const toggle = (): void => {
    const next = new Set(desk.more.peek())
    if (!next.delete(key)) next.add(key)
    desk.more.value = next
  }
  return html`<li class="parting" id=${key} data-chosen=${chosen ? 'true' : nothing} aria-current=${chosen ? 'true' : nothing} @focusin=${() => choose(desk, at)} @click=${() => choose(desk, at)}>
    ${runs ? sentence(desk, key, runs, at) : html`<p class="says quiet-text">${fault ? text.plan.noWords : ''}</p>`} ${section['mirror'] === true ? html`<p class="says">${text.plan.alsoMirrored}</p>` : nothing}
    ${fault && here?.kind === 'section' && here.at === at ? faultNote(desk, fault) : nothing}
    ${chosen
      ? html`<div class="tools">
          <button type="button" class="quiet" aria-expanded=${open ? 'true' : 'false'} aria-controls=${`more-${key}`} @click=${toggle}>${open ? text.plan.less_ : text.plan.more}</button>
          <button
            type="button"
            class="quiet"
            aria-disabled=${used > 0 ? 'true' : 'false'}
            @click=${() => (used > 0 ? void (desk.said.value = text.plan.partInUse(uses.steps.length, uses.partings.length)) : desk.change(text.plan.removedParting(name), removeParting(plan, at)))}
          >
            ${text.plan.remove}
          </button>
          ${used > 0 ? html`<span class="quiet-text">${text.plan.partInUse(uses.steps.length, uses.partings.length)}</span>` : nothing}
        </div>`
      : nothing}
    ${open ? html`<div class="more" id=${`more-${key}`}>${formOf(desk, sectionObject(desk), ['sections', at])}</div>` : nothing}
  </li>`
}

export function partingList(desk: Desk, keys: Keys): TemplateResult {
  const { store, text } = desk
  const list = store.plan.value.sections ?? []
  const names = keys.of(list)
  return html`<section class="part" aria-labelledby="sections-title">
    <h2 id="sections-title">${text.plan.sections}</h2>
    ${list.length === 0 ? html`<p class="quiet-text">${text.plan.noSections}</p>` : nothing}
    <ol class="partings">
      ${repeat(
        list.map((section, at) => ({ section, at, key: names[at] as string })),
        ({ key }) => key,
        ({ section, at, key }) => card(desk, section, at, key),
      )}
    </ol>
    <button
      type="button"
      @click=${() => {
        desk.change(text.plan.addedParting, addParting(store.plan.peek()))
        choose(desk, list.length)
      }}
    >
      ${text.plan.addParting}
    </button>
  </section>`
}
