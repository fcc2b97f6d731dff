// What is wrong with the plan, where it is wrong: the head goes on showing the last plan that could be carried out.
import { html, nothing, type TemplateResult } from 'lit-html'
import type { Fault } from '../core/messages'
import type { Desk } from './desk'

export function faultNote(desk: Desk, fault: Fault): TemplateResult {
  return html`<div class="fault" role="alert">
    <strong>${desk.text.plan.cannot}</strong>
    <p>${fault.message}.</p>
    ${fault.remedy ? html`<p>${desk.text.plan.remedy(fault.remedy)}</p>` : nothing}
    <p class="quiet-text">${desk.text.plan.lastGood}</p>
  </div>`
}
