// The steps, in order: each a card with its sentence, what can be done with it, and everything else that it may say.
import { html, nothing, type TemplateResult } from 'lit-html'
import { repeat } from 'lit-html/directives/repeat.js'
import { live } from 'lit-html/directives/live.js'
import type { Signal } from '@preact/signals-core'
import type { Cut, Panel, Run } from '../core/messages'
import { lengthText } from '../readings/figure'
import { valueAt, type Part, type Path } from '../state/plan'
import { figureOf } from './number'
import type { Desk } from './desk'
import { followDrag, type Drag } from './drag'
import { addStep, duplicateStep, isOff, mirrorStep, moveStep, otherSide, partNames, removeStep, stepName, switchStep, twinName } from './edit'
import { formOf } from './form'
import type { Keys } from './keys'
import { belongs } from './place'
import { sentence } from './sentence'
import { faultNote } from './fault'
import { fieldAt, type ObjectShape } from './table'

export interface Steps {
  readonly keys: Keys
  readonly drag: Signal<Drag | null>
}

// The sentence of a step: the core tells them by name, in the order of the plan that it read last.
function saidOf(desk: Desk, at: number): { says: readonly Run[]; caution: string } | null {
  const words = desk.store.words.value
  const name = stepName(desk.store.plan.value, at)
  const own = words?.steps[at]
  if (own?.name === name) return own
  return words?.steps.find((step) => step.name === name) ?? own ?? null
}

const elementOf = (key: string): HTMLElement | null => document.getElementById(key)

// Focus goes to a step where it stands now.
function focusOn(key: string | undefined, selector: string): void {
  if (key === undefined) return
  const element = elementOf(key)
  ;(selector === '' ? element : element?.querySelector<HTMLElement>(selector))?.focus()
}

function stepObject(desk: Desk): ObjectShape {
  const shape = fieldAt(desk.table, ['steps'])?.field.shape
  return (shape?.kind === 'list' ? shape.element : shape) as ObjectShape
}

function choose(desk: Desk, at: number): void {
  const { chosen } = desk.store
  const now = chosen.peek()
  if (now.kind !== 'step' || now.at !== at) chosen.value = { kind: 'step', at }
}

function move(desk: Desk, steps: Steps, from: number, to: number): void {
  const { store, text } = desk
  const plan = store.plan.peek()
  const count = plan.steps?.length ?? 0
  const target = Math.max(0, Math.min(count - 1, to))
  if (target === from) {
    desk.said.value = text.plan.alreadyAt(stepName(plan, from), from === 0)
    return
  }
  const key = steps.keys.of(plan.steps ?? [])[from]
  desk.change(text.plan.moved(stepName(plan, from), target + 1, count), moveStep(plan, from, target))
  choose(desk, target)
  focusOn(key, '.grip')
}

function remove(desk: Desk, steps: Steps, at: number): void {
  const plan = desk.store.plan.peek()
  const count = plan.steps?.length ?? 0
  const followers = (plan.steps ?? []).filter((step) => (step['guide'] as Part | undefined)?.['step'] === stepName(plan, at)).length
  desk.change(desk.text.plan.removed(stepName(plan, at), followers), removeStep(plan, at))
  const next = Math.min(at, count - 2)
  desk.store.chosen.value = next < 0 ? { kind: 'nothing' } : { kind: 'step', at: next }
  focusOn(next < 0 ? 'add-step' : steps.keys.of(desk.store.plan.peek().steps ?? [])[next], next < 0 ? '' : '.grip')
}

function tools(desk: Desk, steps: Steps, step: Part, at: number, key: string): TemplateResult {
  const { store, text } = desk
  const plan = store.plan.value
  const name = stepName(plan, at)
  const count = plan.steps?.length ?? 0
  const section = typeof step['section'] === 'string' ? step['section'] : ''
  const sided = twinName(section) !== section && partNames(plan).includes(twinName(section))
  const both = step['mirror'] !== undefined
  const open = desk.more.value.has(key)
  const toggle = (): void => {
    const next = new Set(desk.more.peek())
    if (!next.delete(key)) next.add(key)
    desk.more.value = next
  }
  const added = (): void => {
    desk.change(text.plan.duplicated(name), duplicateStep(plan, at))
    choose(desk, at + 1)
    focusOn(steps.keys.of(store.plan.peek().steps ?? [])[at + 1], '.grip')
  }
  return html`<div class="tools">
    <button type="button" class="quiet" aria-expanded=${open ? 'true' : 'false'} aria-controls=${`more-${key}`} @click=${toggle}>${open ? text.plan.less_ : text.plan.more}</button>
    <button type="button" class="quiet" @click=${() => move(desk, steps, at, at - 1)} aria-disabled=${at === 0 ? 'true' : 'false'}>${text.plan.up}</button>
    <button type="button" class="quiet" @click=${() => move(desk, steps, at, at + 1)} aria-disabled=${at === count - 1 ? 'true' : 'false'}>${text.plan.down}</button>
    <button type="button" class="quiet" @click=${added}>${text.plan.duplicate}</button>
    ${sided || both
      ? html`<button type="button" class="quiet" @click=${() => desk.change(both ? text.plan.oneSideOf(name) : text.plan.bothSidesOf(name), mirrorStep(plan, at))}>${both ? text.plan.oneSide : text.plan.bothSides}</button>`
      : nothing}
    ${sided
      ? html`<button type="button" class="quiet" @click=${() => desk.change(text.plan.splitOf(name), otherSide(plan, at))}>${text.plan.otherSide}</button>`
      : nothing}
    <button type="button" class="quiet" @click=${() => desk.change(isOff(step) ? text.plan.onOf(name) : text.plan.offOf(name), switchStep(plan, at))}>${isOff(step) ? text.plan.switchOn : text.plan.switchOff}</button>
    <button type="button" class="quiet" @click=${() => remove(desk, steps, at)}>${text.plan.remove}</button>
  </div>`
}

function more(desk: Desk, key: string, at: number): TemplateResult {
  return html`<div class="more" id=${`more-${key}`}>${formOf(desk, stepObject(desk), ['steps', at], { without: ['name', 'off'] })}</div>`
}

// The shortest and the longest hair that a panel leaves; null where it sets none.
function panelLengths(cut: Cut, panel: Panel): readonly [number, number] | null {
  const index = cut.panels.indexOf(panel)
  let low = Infinity
  let high = -Infinity
  for (let i = 0; i < cut.hairs; i++) {
    if (cut.setBy[i] !== index) continue
    low = Math.min(low, cut.lengths[i] ?? low)
    high = Math.max(high, cut.lengths[i] ?? high)
  }
  return high < 0 ? null : [low, high]
}

function moment(desk: Desk, at: number): TemplateResult | typeof nothing {
  const playing = desk.store.playing.value
  const cut = desk.store.cut.value
  if (!playing || playing.step !== at || !cut) return nothing
  const panels = cut.panels.filter((panel) => panel.step === at + 1)
  const panel = panels[playing.panel]
  if (!panel) return nothing
  const { text, store } = desk
  const said = (...path: Path): boolean => valueAt(store.plan.value, ['steps', at, ...path]) !== undefined
  const held = !said('hold', 'direction') && !said('technique', 'clipper') && !said('technique', 'over_comb')
  const lengths = panelLengths(cut, panel)
  const facts = [
    text.plan.nowCutting(playing.panel + 1, panels.length),
    held ? text.plan.nowHeld(Math.round((panel.elevation * 180) / Math.PI)) : '',
    held && panel.carry > 0 && !said('hold', 'toward') ? text.plan.nowCarried(figureOf(Number(panel.carry.toFixed(2)), undefined, 'cm')) : '',
    lengths ? text.plan.nowLeaves(lengthText(lengths[0], store.plan.value.units), lengthText(lengths[1], store.plan.value.units)) : '',
  ]
  return html`<p class="moment">${facts.filter(Boolean).join(' · ')}</p>`
}

function card(desk: Desk, steps: Steps, step: Part, at: number, key: string): TemplateResult {
  const { store, text } = desk
  const plan = store.plan.value
  const name = stepName(plan, at)
  const count = plan.steps?.length ?? 0
  const chosen = store.chosen.value.kind === 'step' && store.chosen.value.at === at
  const off = isOff(step)
  const drag = steps.drag.value
  const said = saidOf(desk, at)
  const fault = store.fault.value
  const here = fault ? belongs(fault, plan) : null
  const playing = store.playing.value?.step === at
  const keydown = (event: KeyboardEvent): void => {
    if (!event.altKey || (event.key !== 'ArrowUp' && event.key !== 'ArrowDown')) return
    event.preventDefault()
    move(desk, steps, at, at + (event.key === 'ArrowUp' ? -1 : 1))
  }
  const lands = drag && drag.from !== at && drag.to !== drag.from && (drag.to < drag.from ? drag.to === at : drag.to === at)
  const grip = (event: PointerEvent): void => {
    const target = event.currentTarget as HTMLElement
    const list = target.closest('.steps') as HTMLElement
    choose(desk, at)
    followDrag(event, target, list, at, (now) => void (steps.drag.value = now), (done) => move(desk, steps, done.from, done.to))
  }
  const nameKey = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') (event.target as HTMLElement).blur()
  }
  return html`<li
    class="step"
    id=${key}
    data-chosen=${chosen ? 'true' : nothing}
    data-off=${off ? 'true' : nothing}
    data-playing=${playing ? 'true' : nothing}
    data-dragged=${drag?.from === at ? 'true' : nothing}
    data-lands=${lands ? (drag.to < drag.from ? 'before' : 'after') : nothing}
    aria-current=${chosen ? 'step' : nothing}
    @focusin=${() => choose(desk, at)}
    @click=${() => choose(desk, at)}
    @keydown=${keydown}
  >
    <div class="step-head">
      <button type="button" class="grip" aria-label=${text.plan.grip(name, at + 1, count)} title=${text.plan.gripHelp} @pointerdown=${grip}>${at + 1}</button>
      <input
        class="step-name"
        type="text"
        aria-label=${text.plan.nameOf(at + 1)}
        .value=${live(desk.typed.value.get(`name-${key}`)?.text ?? name)}
        size=${Math.max(4, name.length)}
        @input=${(e: Event) => desk.type(['name', key], { text: (e.target as HTMLInputElement).value, fault: '' })}
        @change=${(e: Event) => rename(desk, at, key, (e.target as HTMLInputElement).value)}
        @blur=${() => desk.leave(['name', key])}
        @keydown=${nameKey}
      />
      ${off ? html`<span class="tag">${text.plan.isOff}</span>` : nothing}
    </div>
    ${nameFault(desk, key)} ${said ? sentence(desk, key, said.says, at) : html`<p class="says quiet-text">${fault ? text.plan.noWords : ''}</p>`} ${moment(desk, at)}
    ${said?.caution && !off ? html`<p class="caution">${said.caution}</p>` : nothing} ${fault && here?.kind === 'step' && here.at === at ? faultNote(desk, fault) : nothing}
    ${chosen ? tools(desk, steps, step, at, key) : nothing} ${desk.more.value.has(key) ? more(desk, key, at) : nothing}
  </li>`
}

// A name that another step has stays in the field with the reason why it was not taken.
function rename(desk: Desk, at: number, key: string, wanted: string): void {
  const plan = desk.store.plan.peek()
  const name = wanted.trim()
  const taken = (plan.steps ?? []).some((_, i) => i !== at && stepName(plan, i) === name)
  const long = new TextEncoder().encode(name).length > 95
  desk.type([`name`, key], taken || long ? { text: wanted, fault: taken ? desk.text.plan.nameTaken(name) : desk.text.plan.tooLong(95) } : null)
  if (!taken && !long) desk.set(['steps', at, 'name'], name === '' ? undefined : name)
}

function nameFault(desk: Desk, key: string): TemplateResult | typeof nothing {
  const fault = desk.typed.value.get(`name-${key}`)?.fault
  return fault ? html`<p class="wrong" role="alert">${fault}</p>` : nothing
}

export function stepList(desk: Desk, steps: Steps): TemplateResult {
  const { store, text } = desk
  const plan = store.plan.value
  const list = plan.steps ?? []
  const keys = steps.keys.of(list)
  const add = (): void => {
    const at = store.chosen.peek().kind === 'step' ? (store.chosen.peek() as { at: number }).at + 1 : list.length
    const next = addStep(plan, at)
    desk.change(text.plan.added(stepName(next, at)), next)
    choose(desk, at)
    focusOn(steps.keys.of(next.steps ?? [])[at], '.step-name')
  }
  return html`<section class="part" aria-labelledby="steps-title">
    <h2 id="steps-title">${text.plan.steps}</h2>
    ${list.length === 0 ? html`<p class="quiet-text">${text.plan.noSteps}</p>` : nothing}
    <ol class="steps">
      ${repeat(
        list.map((step, at) => ({ step, at, key: keys[at] as string })),
        ({ key }) => key,
        ({ step, at, key }) => card(desk, steps, step, at, key),
      )}
    </ol>
    <button type="button" id="add-step" @click=${add}>${text.plan.addStep}</button>
  </section>`
}
