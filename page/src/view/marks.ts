// What is written and drawn over the picture: names with leaders, the hold of a panel, and what can be taken hold of.
import { html, render, svg } from 'lit-html'
import { repeat } from 'lit-html/directives/repeat.js'
import type { Vec3 } from '../core/messages'
import type { Text } from '../text/en'
import { axes, project, type Eye, type Frame } from './camera'
import type { Handle } from './handles'
import { columns } from './labels'
import type { Spot } from './parts'
import { dot } from './vec'
import type { WeightPiece } from './weight'

export interface Label extends Spot {
  readonly note: string // after the name, quieter
  readonly chosen: boolean
}

export interface Curve {
  readonly role: 'spoke' | 'arc' | 'finger' | 'guide' | 'path'
  readonly points: readonly Vec3[]
}

export interface Written {
  readonly at: Vec3
  readonly text: string
  readonly normal?: Vec3 // written only where this looks toward the eye
}

export interface Marked {
  readonly landmarks: readonly Label[]
  readonly sections: readonly Spot[]
  readonly curves: readonly Curve[]
  readonly words: readonly Written[]
  readonly read: readonly Written[] // figures of what is drawn on head and hair
  readonly weight: readonly WeightPiece[]
  readonly weightSays: (piece: WeightPiece) => string
  readonly handles: readonly Handle[]
  readonly behind: boolean // what is held lies behind the head
}

export const NOTHING: Marked = { landmarks: [], sections: [], curves: [], words: [], read: [], weight: [], weightSays: () => '', handles: [], behind: false }

export interface Grip {
  begin(handle: Handle, event: PointerEvent): void
  key(handle: Handle, event: KeyboardEvent): void
  leave(handle: Handle): void
  choose(landmark: string): void
}

const HIGH = 19 // pixels of a label
const MARGIN = 12

export interface Marks {
  set(marked: Marked): void
  place(eye: Eye, frame: Frame): void
  dispose(): void
}

export function makeMarks(root: HTMLElement, text: Text, grip: Grip): Marks {
  const box = document.createElement('div')
  box.className = 'head-marks'
  root.append(box)
  const pen = document.createElement('canvas').getContext('2d')
  const wide = (words: string): number => {
    if (!pen) return words.length * 7
    pen.font = getComputedStyle(box).font || '13px sans-serif'
    return pen.measureText(words).width
  }
  let marked: Marked = NOTHING
  let last: { eye: Eye; frame: Frame } | null = null

  const path = (points: readonly Vec3[], eye: Eye, frame: Frame): string =>
    points
      .map((p) => project(eye, frame, p))
      .map(({ x, y }, i) => `${i ? 'L' : 'M'}${x.toFixed(1)} ${y.toFixed(1)}`)
      .join('')

  function names(eye: Eye, frame: Frame) {
    const { toward } = axes(eye)
    const shown = marked.landmarks.filter((l) => dot(l.normal, toward) > 0.08)
    const placed = columns(
      shown.map((label) => ({ label, name: label.name, ...project(eye, frame, label.at), high: HIGH })),
      frame.wide / 2,
      frame.high * 0.09 + 36,
      frame.high - 64,
    )
    return placed.map(({ of, side, y }) => {
      const words = wide(`${of.label.name}  ${of.label.note}`) + 6
      const x = side === 'left' ? MARGIN : frame.wide - MARGIN
      const from = side === 'left' ? x + words : x - words
      return svg`<g class="landmark" data-chosen=${of.label.chosen} @click=${() => grip.choose(of.label.name)}>
        <path class="leader casing" d="M${from.toFixed(1)} ${y.toFixed(1)}L${of.x.toFixed(1)} ${of.y.toFixed(1)}" />
        <path class="leader" d="M${from.toFixed(1)} ${y.toFixed(1)}L${of.x.toFixed(1)} ${of.y.toFixed(1)}" />
        <circle class="dot" cx=${of.x.toFixed(1)} cy=${of.y.toFixed(1)} r=${of.label.chosen ? 5 : 3.2} />
        <text x=${x} y=${(y + 4.5).toFixed(1)} text-anchor=${side === 'left' ? 'start' : 'end'}>${of.label.name}<tspan class="note" dx="6">${of.label.note}</tspan></text>
      </g>`
    })
  }

  // Names on the sections themselves; one that would cover another moves down.
  function onScalp(eye: Eye, frame: Frame) {
    const { toward } = axes(eye)
    const taken: { x: number; y: number; wide: number }[] = []
    return marked.sections
      .filter((s) => dot(s.normal, toward) > 0.12)
      .map((s) => ({ s, p: project(eye, frame, s.at), wide: wide(s.name) + 18 }))
      .sort((a, b) => a.p.y - b.p.y)
      .map(({ s, p, wide }) => {
        let y = p.y
        for (const t of taken) if (Math.abs(t.x - p.x) < (t.wide + wide) / 2 + 4 && Math.abs(t.y - y) < 25) y = t.y + 25
        taken.push({ x: p.x, y, wide })
        return svg`<g class="section">
          <rect x=${(p.x - wide / 2).toFixed(1)} y=${(y - 12).toFixed(1)} width=${wide.toFixed(1)} height="24" rx="12" />
          <text x=${p.x.toFixed(1)} y=${(y + 4.5).toFixed(1)} text-anchor="middle">${s.name}</text>
        </g>`
      })
  }

  // The near side of the weight line, thick where it is sharp; its height is written once, where it is nearest.
  function weight(eye: Eye, frame: Frame) {
    const { toward } = axes(eye)
    const near = marked.weight.filter((piece) => dot(piece.out, toward) > 0.12)
    const nearest = near.reduce<WeightPiece | null>((best, piece) => (!best || dot(piece.out, toward) > dot(best.out, toward) ? piece : best), null)
    const p = nearest && project(eye, frame, nearest.from)
    return svg`<g class="weight">
      ${near.map((piece) => svg`<path class="casing" stroke-width=${(6 + 4 * piece.sharpness).toFixed(1)} d=${path([piece.from, piece.to], eye, frame)} />`)}
      ${near.map((piece) => svg`<path stroke-width=${(2 + 4 * piece.sharpness).toFixed(1)} d=${path([piece.from, piece.to], eye, frame)} />`)}
      ${nearest && p ? svg`<text x=${p.x.toFixed(1)} y=${(p.y - 12).toFixed(1)} text-anchor="middle">${marked.weightSays(nearest)}</text>` : ''}
    </g>`
  }

  function figures(eye: Eye, frame: Frame) {
    const { toward } = axes(eye)
    const taken: { x: number; y: number }[] = []
    return marked.read
      .filter((w) => !w.normal || dot(w.normal, toward) > -0.1)
      .map((w) => ({ w, p: project(eye, frame, w.at) }))
      .sort((a, b) => b.p.y - a.p.y)
      .map(({ w, p }) => {
        // One that would cover another moves up.
        let y = p.y - 8
        for (const t of taken) if (Math.abs(t.x - p.x) < 56 && Math.abs(t.y - y) < 16) y = t.y - 16
        taken.push({ x: p.x, y })
        return svg`<text class="read" x=${p.x.toFixed(1)} y=${y.toFixed(1)} text-anchor="middle">${w.text}</text>`
      })
  }

  function draw(eye: Eye, frame: Frame): void {
    render(
      html`
        <svg width=${frame.wide} height=${frame.high} viewBox=${`0 0 ${frame.wide} ${frame.high}`} aria-hidden="true">
          ${weight(eye, frame)}
          <g class=${marked.behind ? 'held behind' : 'held'}>
            ${marked.curves.map((c) => svg`<path class="casing ${c.role}" d=${path(c.points, eye, frame)} />`)}
            ${marked.curves.map((c) => svg`<path class=${c.role} d=${path(c.points, eye, frame)} />`)}
            ${marked.words.map((w) => {
              const p = project(eye, frame, w.at)
              return svg`<text class="word" x=${p.x.toFixed(1)} y=${p.y.toFixed(1)} text-anchor="middle">${w.text}</text>`
            })}
          </g>
          ${onScalp(eye, frame)} ${names(eye, frame)} ${figures(eye, frame)}
        </svg>
        ${repeat(
          marked.handles,
          (handle) => handle.id,
          (handle) => html`<div
            class="handle ${handle.kind}"
            data-handle=${handle.id}
            role="slider"
            tabindex="0"
            aria-label=${handle.name}
            aria-valuetext=${handle.value}
            aria-valuenow=${handle.kind === 'slider' ? handle.now : 0}
            aria-valuemin=${handle.kind === 'slider' ? handle.course.low : 0}
            aria-valuemax=${handle.kind === 'slider' ? handle.course.high : 0}
            title=${`${handle.name}. ${text.view.handleHelp}`}
            @pointerdown=${(event: PointerEvent) => grip.begin(handle, event)}
            @keydown=${(event: KeyboardEvent) => grip.key(handle, event)}
            @blur=${() => grip.leave(handle)}
          >
            <span class="grip"></span><span class="tag"><b>${handle.name}</b> ${handle.value}</span>
          </div>`,
        )}
      `,
      box,
    )
    const taken: { x: number; y: number }[] = []
    for (const handle of [...marked.handles].sort((a, b) => project(eye, frame, a.at).y - project(eye, frame, b.at).y)) {
      const element = box.querySelector<HTMLElement>(`[data-handle="${handle.id}"]`)
      if (!element) continue
      const p = project(eye, frame, handle.at)
      const x = Math.max(20, Math.min(frame.wide - 20, p.x)), y = Math.max(20, Math.min(frame.high - 20, p.y))
      element.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`
      const left = x > frame.wide * 0.62
      element.classList.toggle('to-left', left)
      element.classList.toggle('behind', !!handle.normal && dot(handle.normal, axes(eye).toward) < -0.05)
      // What is said beside a handle gives way to what is said beside another.
      let down = 0
      for (const t of taken) if (Math.abs(t.x - x) < 210 && Math.abs(t.y - (y + down)) < 29) down = t.y + 29 - y
      if (handle.kind === 'peg') down = 0
      else taken.push({ x, y: y + down })
      const tag = element.querySelector<HTMLElement>('.tag')
      if (tag) tag.style.transform = `translateY(${down.toFixed(1)}px)`
    }
  }

  return {
    set(next) {
      marked = next
      if (last) draw(last.eye, last.frame)
    },
    place(eye, frame) {
      if (last && last.eye === eye && last.frame.wide === frame.wide && last.frame.high === frame.high) return
      last = { eye, frame: { ...frame } }
      draw(eye, frame)
    },
    dispose: () => box.remove(),
  }
}
