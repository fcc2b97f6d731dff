// What stands round the picture: how hair is shown, from which side, and the scale of the length map.
import { html, render } from 'lit-html'
import type { Look, Side, Store } from '../state/store'
import type { Text } from '../text/en'
import { marks, type Scale } from './scale'
import { figureOf, inUnit, type Units } from '../plan/number'

const HAIR = ['fallen', 'cut', 'held', 'off'] as const
const SIDES = ['front', 'left', 'back', 'right', 'above'] as const
const SHOWS = ['lengths', 'weight', 'landmarks', 'sections'] as const

export interface BarDoes {
  look(side: Side): void
  nearer(factor: number): void
}

export interface Bar {
  draw(look: Look): void
  scale(scale: Scale | null, units: Units, colours: Uint8Array): void
  dispose(): void
}

export function makeBar(root: HTMLElement, store: Store, text: Text, does: BarDoes): Bar {
  const top = document.createElement('div')
  const bottom = document.createElement('div')
  const rule = document.createElement('div')
  top.className = 'head-bar top'
  bottom.className = 'head-bar bottom'
  rule.className = 'head-scale'
  rule.hidden = true
  root.append(top, bottom, rule)
  const change = (part: Partial<Look>) => void (store.look.value = { ...store.look.peek(), ...part })
  let shown = ''
  return {
    draw(look) {
      render(
        html`
          <div class="head-choice" role="group" aria-label=${text.view.hair}>
            ${HAIR.map(
              (state) => html`<button type="button" aria-pressed=${look.hair === state ? 'true' : 'false'} title=${text.view.stateHelp[state]} @click=${() => change({ hair: state })}>${text.view.states[state]}</button>`,
            )}
          </div>
          <div class="head-choice" role="group" aria-label=${text.view.show}>
            ${SHOWS.map(
              (what) => html`<button type="button" aria-pressed=${look[what] ? 'true' : 'false'} @click=${() => change({ [what]: !look[what] })}>${text.view.shows[what]}</button>`,
            )}
          </div>
        `,
        top,
      )
      render(
        html`
          <div class="head-choice" role="group" aria-label=${text.view.sidesOf}>
            ${SIDES.map((side) => html`<button type="button" aria-pressed=${look.side === side ? 'true' : 'false'} @click=${() => does.look(side)}>${text.view.sides[side]}</button>`)}
          </div>
          <div class="head-choice near" role="group" aria-label=${text.view.nearer}>
            <button type="button" aria-label=${text.view.farther} title=${text.view.farther} @click=${() => does.nearer(1.2)}>−</button>
            <button type="button" aria-label=${text.view.nearer} title=${text.view.nearer} @click=${() => does.nearer(1 / 1.2)}>+</button>
          </div>
        `,
        bottom,
      )
    },
    scale(scale, units, colours) {
      rule.hidden = !scale
      if (!scale) return
      const key = `${scale.low} ${scale.high} ${scale.step} ${units}`
      if (key === shown) return
      shown = key
      const figure = (metres: number): string => figureOf(inUnit(metres, units), 'length', units)
      rule.replaceChildren()
      rule.setAttribute('role', 'img')
      rule.setAttribute('aria-label', text.view.scale(`${figure(scale.low)} ${units}`, `${figure(scale.high)} ${units}`))
      const strip = document.createElement('div')
      strip.className = 'strip'
      const stops = Array.from({ length: colours.length / 3 }, (_, i) => `rgb(${colours[3 * i]} ${colours[3 * i + 1]} ${colours[3 * i + 2]})`)
      strip.style.background = `linear-gradient(to top, ${stops.join(', ')})`
      const title = document.createElement('div')
      title.className = 'title'
      title.textContent = `${text.view.length}, ${units}`
      rule.append(title, strip)
      for (const at of marks(scale)) {
        const mark = document.createElement('span')
        mark.className = 'mark'
        mark.textContent = figure(at)
        mark.style.bottom = `${(100 * (at - scale.low)) / (scale.high - scale.low)}%`
        strip.append(mark)
      }
    },
    dispose() {
      for (const part of [top, bottom, rule]) part.remove()
    },
  }
}
