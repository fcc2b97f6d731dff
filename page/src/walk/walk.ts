// Round the page in under a minute, for whoever opens it first. Nothing is locked meanwhile: what a note tells of can be tried.
import { html, render } from 'lit-html'
import type { Text } from '../text/en'
import { besideOf } from './place'

export interface Walk {
  start(): void
}

const KEY = 'lengthwise.walked'

export const walkedBefore = (): boolean => localStorage.getItem(KEY) !== null

export function makeWalk(text: Text, before: (id: string) => void): Walk {
  const stops = text.walk.stops
  const note = document.createElement('div')
  note.className = 'walk'
  note.setAttribute('role', 'dialog')
  note.setAttribute('aria-labelledby', 'walk-title')
  note.tabIndex = -1
  note.hidden = true
  document.body.append(note)
  let at = 0
  let from: Element | null = null

  const target = (): Element | null => document.querySelector(stops[at]?.at ?? '')

  function stand(): void {
    if (note.hidden) return
    const place = besideOf(target()?.getBoundingClientRect() ?? { left: 0, top: 0, width: innerWidth, height: innerHeight }, note.getBoundingClientRect(), { width: innerWidth, height: innerHeight })
    note.style.left = `${place.left}px`
    note.style.top = `${place.top}px`
  }

  function leave(): void {
    note.hidden = true
    document.querySelector('.walk-here')?.classList.remove('walk-here')
    localStorage.setItem(KEY, 'yes')
    if (from instanceof HTMLElement) from.focus()
  }

  function go(to: number): void {
    at = to
    const stop = stops[at]
    if (!stop) return leave()
    before(stop.id)
    document.querySelector('.walk-here')?.classList.remove('walk-here')
    target()?.classList.add('walk-here')
    render(
      html`<p class="walk-count">${text.walk.count(at + 1, stops.length)}</p>
        <h2 id="walk-title">${stop.title}</h2>
        <p>${stop.words}</p>
        <p class="walk-steps">
          <button type="button" class="quiet" @click=${leave}>${text.walk.leave}</button>
          ${at > 0 ? html`<button type="button" @click=${() => go(at - 1)}>${text.walk.back}</button>` : ''}
          <button type="button" class="main" @click=${() => go(at + 1)}>${at + 1 < stops.length ? text.walk.next : text.walk.done}</button>
        </p>`,
      note,
    )
    note.hidden = false
    stand()
    note.focus()
  }

  note.addEventListener('keydown', (event) => {
    if (event.key === 'Escape') leave()
  })
  addEventListener('resize', stand)
  return {
    start() {
      from = document.activeElement
      go(0)
    },
  }
}
