// The frame of the page: what stands where, and the bar above it. Each part of the screen draws itself into a place that the
// shell gives it.
import { effect } from '@preact/signals-core'
import { html, render } from 'lit-html'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { mountView } from '../view/view'

export interface Shell {
  say(text: string): void // something that the whole page has to tell
}

function bar(store: Store, text: Text) {
  return html`
    <h1>${store.plan.value.title ?? text.shell.untitled}</h1>
    <button type="button" ?disabled=${!store.canUndo.value} @click=${() => store.undo()}>${text.shell.undo}</button>
    <button type="button" ?disabled=${!store.canRedo.value} @click=${() => store.redo()}>${text.shell.redo}</button>
  `
}

export function mountShell(root: HTMLElement, store: Store, text: Text): Shell {
  render(
    html`
      <header class="bar"></header>
      <p class="notice" role="alert" hidden></p>
      <main class="rooms">
        <section class="plan" aria-label=${text.shell.plan}></section>
        <section class="head" aria-label=${text.shell.head}></section>
        <section class="readings" aria-label=${text.shell.readings}></section>
      </main>
    `,
    root,
  )
  const place = (name: string) => root.querySelector(`.${name}`) as HTMLElement
  const notice = place('notice')
  effect(() => void render(bar(store, text), place('bar')))
  mountView(place('head'), store, text)
  return {
    say(words) {
      notice.textContent = words
      notice.hidden = false
    },
  }
}
