// Watching the cut: the transport under the head. What is shown follows from the moment in the store; this only moves it.
import { effect } from '@preact/signals-core'
import { html, render } from 'lit-html'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { advanced, middleOf, momentOf, PHASES, playingAt, turnOf, turns } from './moments'

const PANEL = 2.6 // seconds for a panel at speed 1
const SPEEDS = [0.5, 1, 2, 4] as const

export interface Play {
  dispose(): void
}

export function mountPlay(root: HTMLElement, store: Store, text: Text): Play {
  const bar = document.createElement('div')
  bar.className = 'play-bar'
  bar.hidden = true
  root.append(bar)
  const calm = matchMedia('(prefers-reduced-motion: reduce)')
  let running = false
  let speed = 1
  let loop = false
  let asked = 0
  let last = 0
  let waited = 0

  function tick(time: number): void {
    asked = 0
    const cut = store.cut.peek(), playing = store.playing.peek()
    if (!running || !cut || !playing) return
    const seconds = last ? Math.min(0.25, (time - last) / 1000) : 0
    last = time
    const ready = store.uncut.peek() && store.held.peek() && store.fall.peek()
    if (ready && seconds > 0) {
      const order = turns(cut)
      const turn = turnOf(cut, order, playing)
      if (calm.matches) stepCalmly(seconds)
      else {
        const next = advanced(turn, playing.share, (seconds * speed) / PANEL, order.length, loop)
        store.playing.value = playingAt(cut, order, next.turn, next.share)
        if (next.ended) running = false
      }
    }
    if (running) ask()
    else draw()
  }
  // Without motion: phase after phase, each long enough to be seen.
  function stepCalmly(seconds: number): void {
    waited += seconds * speed
    if (waited < PANEL / 3) return
    waited = 0
    const cut = store.cut.peek(), playing = store.playing.peek()
    if (!cut || !playing) return
    const order = turns(cut)
    const turn = turnOf(cut, order, playing)
    const phase = PHASES.indexOf(momentOf(playing.share).phase) + 1
    const next = phase < PHASES.length ? { turn, phase } : { turn: turn + 1, phase: 0 }
    if (next.turn >= order.length && !loop) running = false
    else store.playing.value = playingAt(cut, order, next.turn % order.length, middleOf(next.phase))
  }
  function ask(): void {
    if (!asked) asked = requestAnimationFrame(tick)
  }
  function run(on: boolean): void {
    const cut = store.cut.peek(), playing = store.playing.peek()
    running = on
    last = 0
    if (on && cut && playing) {
      const order = turns(cut)
      if (turnOf(cut, order, playing) >= order.length - 1 && playing.share >= 1) store.playing.value = playingAt(cut, order, 0, 0)
      ask()
    }
    draw()
  }
  function go(turn: number, share: number): void {
    const cut = store.cut.peek()
    if (!cut) return
    const order = turns(cut)
    running = false
    store.playing.value = playingAt(cut, order, Math.max(0, Math.min(order.length - 1, turn)), share)
  }
  function close(): void {
    running = false
    store.playing.value = null
  }
  function onKey(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    if (event.key === 'Escape') close()
    else if (event.key === ' ' && !(event.target instanceof HTMLButtonElement)) run(!running)
    else return
    event.preventDefault()
    event.stopPropagation()
  }

  function draw(): void {
    const cut = store.cut.value, playing = store.playing.value
    bar.hidden = !playing
    if (!playing || !cut) {
      render(html``, bar)
      return
    }
    const order = turns(cut)
    const turn = turnOf(cut, order, playing)
    const panel = cut.panels[order[turn] ?? -1]
    const { phase } = momentOf(playing.share)
    const name = store.plan.value.steps?.[playing.step]?.['name']
    const step = typeof name === 'string' && name ? name : text.view.step(playing.step + 1)
    const ready = store.uncut.value && store.held.value && store.fall.value
    const words = order.length === 0 ? text.play.nothing : ready ? `${text.view.panel(step, panel?.panel ?? 1)}: ${text.play.phases[phase]}` : text.play.working
    const button = (label: string, sign: string, act: () => void, more = '') =>
      html`<button type="button" class="round ${more}" aria-label=${label} title=${label} @click=${act}><span aria-hidden="true" class="sign ${sign}"></span></button>`
    render(
      html`
        <p class="play-words">${words}<span class="count">${text.play.count(turn + 1, order.length)}</span></p>
        <input
          type="range"
          class="play-scrub"
          min="0"
          max=${order.length * 100}
          step="1"
          aria-label=${text.play.scrub}
          aria-valuetext=${words}
          .value=${String(Math.round((turn + playing.share) * 100))}
          @input=${(event: Event) => {
            const at = Number((event.target as HTMLInputElement).value) / 100
            const whole = Math.min(order.length - 1, Math.floor(at))
            go(whole, at - whole)
          }}
        />
        <div class="play-keys">
          ${button(text.play.first, 'first', () => go(0, 0))} ${button(text.play.back, 'back', () => go(playing.share > 0.2 ? turn : turn - 1, 0))}
          ${button(running ? text.play.pause : text.play.play, running ? 'pause' : 'play', () => run(!running), 'main')}
          ${button(text.play.on, 'on', () => (turn + 1 < order.length ? go(turn + 1, 0) : go(turn, 1)))}
          <label class="play-speed"
            ><span class="unseen">${text.play.speed}</span
            ><select @change=${(event: Event) => void (speed = Number((event.target as HTMLSelectElement).value))}>
              ${SPEEDS.map((s) => html`<option value=${s} ?selected=${s === speed}>${text.play.times(s)}</option>`)}
            </select></label
          >
          <button type="button" class="quiet" aria-pressed=${loop ? 'true' : 'false'} @click=${() => { loop = !loop; draw() }}>${text.play.loop}</button>
          <button type="button" class="quiet" @click=${close}>${text.play.close}</button>
        </div>
      `,
      bar,
    )
  }
  bar.addEventListener('keydown', onKey)
  let open = false
  const stop = effect(() => {
    draw()
    const now = store.playing.value !== null
    if (now && !open) {
      open = true
      queueMicrotask(() => {
        run(true)
        bar.querySelector<HTMLElement>('.main')?.focus()
      })
    }
    if (!now) {
      open = false
      running = false
    }
  })
  return {
    dispose() {
      stop()
      cancelAnimationFrame(asked)
      bar.remove()
    },
  }
}
