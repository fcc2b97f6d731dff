// The frame of the page: what stands where, and the bar above it. Each part of the screen draws itself into a place that the
// shell gives it. On a narrow page all panels share one place by the head, on a wide one the readings have their own.
import { effect, signal, type ReadonlySignal } from '@preact/signals-core'
import { html, render } from 'lit-html'
import type { Keeper } from '../book/keeper'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { icon } from './icon'
import { keptBadge } from './kept'
import { listenForKeys } from './keys'
import { tabList, type Tab } from './tabs'
import { LIGHTS, startTheme, type Light } from './theme'

export type Place = 'plan' | 'measures' | 'readings'

export interface Shell {
  readonly head: HTMLElement
  readonly panel: Readonly<Record<Place, HTMLElement>>
  readonly shown: ReadonlySignal<Place>
  show(place: Place): void
  say(text: string): void // something that the whole page has to tell
  ready(): void // the first cut is there
}

export interface Opens {
  paper(): void
  book(): void
  play(): void
  walk(): void
}

export function mountShell(root: HTMLElement, store: Store, keeper: Keeper, text: Text, opens: Opens): Shell {
  const light = startTheme(document.documentElement, localStorage)
  const shown = signal<Place>('plan')
  const tabs: readonly Tab<Place>[] = [
    { id: 'plan', name: text.shell.plan },
    { id: 'measures', name: text.shell.measures },
    { id: 'readings', name: text.shell.readings },
  ]
  render(
    html`
      <a class="skip" href="#panel-plan">${text.shell.skip}</a>
      <header class="bar"></header>
      <p class="notice" role="alert" hidden></p>
      <main class="rooms">
        <section class="head" aria-label=${text.shell.head}></section>
        <div class="side">
          <div class="side-tabs"></div>
          ${tabs.map(
            ({ id, name }) => html`<section class="panel ${id}" id=${`panel-${id}`} role="tabpanel" aria-label=${name} tabindex="-1"></section>`,
          )}
        </div>
      </main>
    `,
    root,
  )
  const find = (selector: string) => root.querySelector(selector) as HTMLElement
  const panel = { plan: find('#panel-plan'), measures: find('#panel-measures'), readings: find('#panel-readings') }
  const show = (place: Place) => void (shown.value = place)
  const notice = find('.notice')

  const chooseLight = (event: Event) => void (light.value = (event.target as HTMLSelectElement).value as Light)
  const bar = () => {
    const { moments, at } = store.history.value
    return html`
      <span class="brand" aria-hidden="true">${text.shell.name}</span>
      <h1>${store.plan.value.title || text.shell.untitled}</h1>
      <div class="group">
        <button
          type="button"
          class="quiet bare"
          aria-label=${text.shell.undo}
          title=${text.shell.undoOf(store.canUndo.value ? (moments[at]?.label ?? '') : '')}
          ?disabled=${!store.canUndo.value}
          @click=${() => store.undo()}
        >
          ${icon('undo')}
        </button>
        <button
          type="button"
          class="quiet bare"
          aria-label=${text.shell.redo}
          title=${text.shell.redoOf(moments[at + 1]?.label ?? '')}
          ?disabled=${!store.canRedo.value}
          @click=${() => store.redo()}
        >
          ${icon('redo')}
        </button>
      </div>
      ${keptBadge(keeper, text)}
      <div class="group">
        <button type="button" @click=${opens.play}>${text.shell.play}</button>
        <button type="button" @click=${opens.paper}>${text.shell.paper}</button>
        <button type="button" class="main" @click=${opens.book}>${text.shell.book}</button>
      </div>
      <div class="group">
        <button type="button" class="quiet bare" aria-label=${text.shell.walk} title=${text.shell.walk} @click=${opens.walk}>${icon('help')}</button>
        <label class="light" title=${text.shell.light}
          >${icon('light')}<span class="unseen">${text.shell.light}</span>
          <select @change=${chooseLight}>
            ${LIGHTS.map((one) => html`<option value=${one} ?selected=${one === light.value}>${text.shell.lights[one]}</option>`)}
          </select></label
        >
      </div>
    `
  }
  effect(() => void render(bar(), find('.bar')))
  effect(() => {
    render(tabList(text.shell.panels, tabs, shown.value, show), find('.side-tabs'))
    for (const { id } of tabs) panel[id].classList.toggle('away', id !== shown.value)
    find('.side').dataset['shown'] = shown.value
  })
  listenForKeys(window, store)
  return {
    head: find('.head'),
    panel,
    shown,
    show,
    ready: () => void (find('.rooms').dataset['ready'] = ''),
    say(words) {
      notice.textContent = words
      notice.hidden = words === ''
    },
  }
}
