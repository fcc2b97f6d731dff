// The cutting sheet on paper: which one, on what, and there it is.
import { signal } from '@preact/signals-core'
import { html, nothing } from 'lit-html'
import { Problem, type Api, type Paper, type Sheet } from '../server/api'
import { makeDialog, type Dialog } from '../shell/dialog'
import { planText } from '../state/plan'
import type { Store } from '../state/store'
import type { Text } from '../text/en'

const PAPERS: readonly Paper[] = ['a4', 'letter']
const SHEETS: readonly Sheet[] = ['sheet', 'worksheet', 'key']

type State =
  | { readonly kind: 'asking' }
  | { readonly kind: 'making' }
  | { readonly kind: 'made'; readonly url: string; readonly name: string }
  | { readonly kind: 'failed'; readonly why: string; readonly remedy: string }

// A name that every file system takes.
export const fileName = (title: string, sheet: Sheet): string =>
  `${
    title
      .normalize('NFKD')
      .replaceAll(/[^\p{Letter}\p{Number}]+/gu, '-')
      .replaceAll(/^-|-$/g, '')
      .toLowerCase()
      .slice(0, 60) || 'cut'
  }${sheet === 'sheet' ? '' : `-${sheet}`}.pdf`

export function makePaper(store: Store, api: Api, text: Text): Dialog {
  const paper = signal<Paper>(store.plan.peek().units === 'in' ? 'letter' : 'a4')
  const sheet = signal<Sheet>('sheet')
  const state = signal<State>({ kind: 'asking' })

  function forget(): void {
    const now = state.peek()
    if (now.kind === 'made') URL.revokeObjectURL(now.url)
    state.value = { kind: 'asking' }
  }

  async function make(event: Event): Promise<void> {
    event.preventDefault()
    forget()
    state.value = { kind: 'making' }
    const plan = store.plan.peek()
    try {
      const url = URL.createObjectURL(await api.sheet(planText(plan), paper.peek(), sheet.peek()))
      state.value = { kind: 'made', url, name: fileName(plan.title ?? '', sheet.peek()) }
    } catch (reason) {
      const problem = reason instanceof Problem ? reason : new Problem(0, String(reason), '')
      const unreachable = problem.status === 0
      state.value = { kind: 'failed', why: unreachable ? text.paper.unreachable : problem.message, remedy: unreachable ? text.paper.start : problem.remedy }
    }
  }

  const choice = <Id extends string>(name: string, legend: string, of: readonly Id[], now: Id, words: Readonly<Record<Id, { name: string; help: string }>>, choose: (id: Id) => void) =>
    html`<fieldset class="choice">
      <legend>${legend}</legend>
      ${of.map(
        (id) =>
          html`<label>
            <input type="radio" name=${name} value=${id} .checked=${id === now} @change=${() => (choose(id), forget())} />
            <span><strong>${words[id].name}</strong> ${words[id].help}</span>
          </label>`,
      )}
    </fieldset>`

  const outcome = () => {
    const now = state.value
    if (now.kind === 'made')
      return html`<p class="made">
        <a class="button main" href=${now.url} target="_blank">${text.paper.look}</a>
        <a class="button" href=${now.url} download=${now.name}>${text.paper.save(now.name)}</a>
      </p>`
    if (now.kind === 'failed') return html`<p class="trouble">${now.why} ${now.remedy}</p>`
    return now.kind === 'making' ? html`<p>${text.paper.making}</p>` : nothing
  }

  return makeDialog(
    'paper',
    text.paper.title,
    text,
    () =>
      html`<form @submit=${make}>
        <p>${text.paper.about}</p>
        ${choice('sheet', text.paper.which, SHEETS, sheet.value, text.paper.sheets, (id) => (sheet.value = id))}
        ${choice('paper', text.paper.on, PAPERS, paper.value, text.paper.papers, (id) => (paper.value = id))}
        <p><button class="main" ?disabled=${state.value.kind === 'making'}>${text.paper.make}</button></p>
        <div aria-live="polite">${outcome()}</div>
      </form>`,
    forget,
  )
}
