// What the cut leaves, in figures, words and small drawings.
import { effect, signal, type Signal } from '@preact/signals-core'
import { guard } from 'lit-html/directives/guard.js'
import { html, nothing, render, svg, type TemplateResult } from 'lit-html'
import { repeat } from 'lit-html/directives/repeat.js'
import type { Fallen, Reading, SectionRead, Vec3, Warned } from '../core/messages'
import { stepName, withEdits } from '../plan/edit'
import type { Units } from '../plan/number'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { bandDrawing, linePoints, path, seen, stripDrawing, weightSeen } from './drawing'
import { countText, lengthText, telling } from './figure'
import { near, ofBoth, oncePerPair } from './alike'
import { rows, type Row } from './pairs'
import { cividis } from './scale'
import { placeOf } from '../view/band'

export interface Panel {
  dispose(): void
}

interface Desk {
  readonly store: Store
  readonly text: Text
  readonly said: Signal<string>
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

const units = (desk: Desk): Units => desk.store.plan.value.units

// ---- warnings ----

function applyText(desk: Desk, warned: Warned): string {
  return desk.text.readings.apply[warned.code] ?? desk.text.readings.applyOther
}

function warning(desk: Desk, warned: Warned): TemplateResult {
  const { store, text } = desk
  const plan = store.plan.value
  const { step, edits } = warned
  const name = step > 0 ? stepName(plan, step - 1) : warned.section
  const show = (): void => {
    store.chosen.value = { kind: 'step', at: step - 1, ...(warned.panel > 0 ? { panel: warned.panel - 1 } : {}) }
  }
  const apply = (): void => {
    if (!edits) return
    const label = text.readings.applied(applyText(desk, warned), name)
    store.change(label, withEdits(store.plan.peek(), edits))
    desk.said.value = label
  }
  return html`<li class="warning">
    ${step > 0 ? html`<p class="warning-at">${text.readings.atStep(step, name, warned.panel)}</p>` : nothing}
    <p>${capital(warned.says)}.</p>
    <p class="quiet-text">${capital(warned.remedy)}.</p>
    <p class="warning-do">
      ${step > 0 ? html`<button type="button" @click=${show}>${text.readings.goTo(step)}</button>` : nothing}
      ${edits ? html`<button type="button" class="main" @click=${apply}>${applyText(desk, warned)}<span class="unseen">: ${name}</span></button>` : nothing}
    </p>
  </li>`
}

function warnings(desk: Desk, reading: Reading): TemplateResult {
  const { text } = desk
  const list = reading.warnings
  return html`<section class="part" aria-labelledby="warnings-title">
    ${list.length === 0
      ? html`<p class="well">${text.readings.allWell}</p>`
      : html`<h2 id="warnings-title" class="warn-title">${text.readings.watchOut(list.length)}</h2>
          <ul class="warnings">
            ${repeat(
              list,
              (one) => `${one.code} ${one.step} ${one.section}`,
              (one) => warning(desk, one),
            )}
          </ul>`}
  </section>`
}

// ---- in short ----

function fact(name: string, said: string | TemplateResult): TemplateResult {
  return html`<div><dt>${name}</dt><dd>${said}</dd></div>`
}

function inShort(desk: Desk, reading: Reading): TemplateResult {
  const t = desk.text.readings
  const u = units(desk)
  const r = reading.readings
  const { balance } = r
  const even = (balance.worst ?? 0) < 1e-3
  const { within, between } = r.cross_check
  return html`<section class="part" aria-labelledby="short-title">
    <h2 id="short-title">${t.inShort}</h2>
    <dl class="facts">
      ${fact(t.work, t.workSays(r.panels, r.cuts, Math.ceil(r.minutes)))} ${fact(t.removed, t.removedSays(countText(r.removed.hairs), (r.removed.mass * 1000).toFixed(1)))}
      ${fact(t.balance, even ? t.even : t.balanceSays(lengthText(balance.mean, u), lengthText(balance.worst, u), balance.near))}
      ${fact(
        t.crossCheck,
        (within.step ?? 0) < 1e-3 ? t.even : html`${t.crossCheckSays(lengthText(within.step, u), within.near)}${(between.step ?? 0) < 1e-3 ? nothing : html`; ${t.crossCheckBetween(lengthText(between.step, u), between.near)}`}`,
      )}
    </dl>
  </section>`
}

// ---- lengths ----

type Mark = Reading['landmarks'][number]

function lengthButton(desk: Desk, mark: Mark | null, longest: number, wide: number): TemplateResult {
  const { store, text } = desk
  if (!mark) return html`<td colspan=${wide}></td>`
  const chosen = store.chosen.value.kind === 'landmark' && store.chosen.value.name === mark.name
  const said = mark.length === null ? text.readings.noHair : lengthText(mark.length, units(desk))
  const lies = mark.length !== null && mark.lies !== null && mark.lies < mark.length - 2e-3 ? text.readings.lies(lengthText(mark.lies, units(desk))) : ''
  return html`<td colspan=${wide}>
    <button
      type="button"
      class="length"
      aria-pressed=${chosen ? 'true' : 'false'}
      aria-label=${text.readings.showPlace(mark.name, lies ? `${said}, ${lies}` : said)}
      @click=${() => void (store.chosen.value = chosen ? { kind: 'nothing' } : { kind: 'landmark', name: mark.name })}
    >
      <span class="bar-of" aria-hidden="true"><svg viewBox="0 0 100 6" preserveAspectRatio="none"><rect height="6" width=${((mark.length ?? 0) / longest) * 100} fill=${cividis((mark.length ?? 0) / longest)} /></svg></span>
      <span class="figure">${said}${lies ? html`<span class="lies">${lies}</span>` : nothing}</span>
    </button>
  </td>`
}

function lengths(desk: Desk, reading: Reading): TemplateResult {
  const { text } = desk
  const longest = Math.max(1e-3, ...reading.landmarks.map((mark) => mark.length ?? 0))
  const all = rows(reading.landmarks)
  const line = (row: Row<Mark>): TemplateResult =>
    html`<tr>
      <th scope="row">${row.name}</th>
      ${row.one ? lengthButton(desk, row.one, longest, 2) : html`${lengthButton(desk, row.left, longest, 1)}${lengthButton(desk, row.right, longest, 1)}`}
    </tr>`
  const midline = all.filter((row) => row.one)
  const sides = all.filter((row) => !row.one)
  return html`<section class="part" aria-labelledby="lengths-title">
    <h2 id="lengths-title">${text.readings.lengths}</h2>
    <p class="quiet-text">${text.readings.lengthsHelp}</p>
    <table class="lengths">
      <tbody>
        ${midline.map(line)}
      </tbody>
      <tbody>
        <tr class="sides">
          <th scope="col"><span class="unseen">${text.readings.place}</span></th>
          <th scope="col">${text.readings.left}</th>
          <th scope="col">${text.readings.right}</th>
        </tr>
        ${sides.map(line)}
      </tbody>
    </table>
  </section>`
}

// ---- sections ----

function sectionRow(desk: Desk, section: SectionRead, longest: number): TemplateResult {
  const u = units(desk)
  const share = (of: number | null) => ((of ?? 0) / longest) * 100
  return html`<tr>
    <th scope="row">${section.name === 'all' ? desk.text.plan.wholeHead : section.name}</th>
    <td class="figure">${lengthText(section.mean, u)}</td>
    <td class="spread">
      <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
        <rect class="track" y="4" width="100" height="2" />
        <rect class="range" x=${share(section.low)} y="2.5" width=${Math.max(0.8, share(section.high) - share(section.low))} height="5" />
        <rect class="middle" x=${Math.max(0, share(section.mean) - 0.5)} y="0" width="1.2" height="10" />
      </svg>
      <span class="range-text">${lengthText(section.low, u)} – ${lengthText(section.high, u)}</span>
    </td>
  </tr>`
}

function sections(desk: Desk, reading: Reading): TemplateResult {
  const { text } = desk
  const leaves = reading.sections.filter((section) => section.leaf)
  const longest = Math.max(1e-3, ...leaves.map((section) => section.high ?? 0))
  return html`<section class="part" aria-labelledby="read-sections-title">
    <h2 id="read-sections-title">${text.readings.sections}</h2>
    <table class="spreads">
      <thead>
        <tr>
          <th scope="col">${text.readings.section}</th>
          <th scope="col">${text.readings.mean}</th>
          <th scope="col">${text.readings.range}</th>
        </tr>
      </thead>
      <tbody>
        ${leaves.map((section) => sectionRow(desk, section, longest))}
      </tbody>
    </table>
  </section>`
}

// ---- shapes ----

function shapes(desk: Desk, reading: Reading): TemplateResult {
  const { text } = desk
  const u = units(desk)
  const r = reading.readings
  const widest = Math.max(1e-3, ...r.bands.flatMap((band) => [band.from ?? 0, band.centre ?? 0, band.to ?? 0]))
  const longest = Math.max(1e-3, ...r.strips.flatMap((strip) => [strip.bottom ?? 0, strip.top ?? 0]))
  const bands = oncePerPair(
    r.bands.filter((band) => band.shape !== ''),
    (a, b) => a.shape === b.shape && near(a.from, b.from) && near(a.centre, b.centre) && near(a.to, b.to),
  )
  const strips = oncePerPair(
    r.strips.filter((strip) => strip.profile !== ''),
    (a, b) => a.profile === b.profile && near(a.bottom, b.bottom) && near(a.top, b.top),
  )
  return html`<section class="part" aria-labelledby="plan-shape-title">
      <h2 id="plan-shape-title">${text.readings.plan}</h2>
      <p class="quiet-text">${text.readings.planHelp}</p>
      <ul class="shapes">
        ${bands.map(({ of: band, both }) => {
          const little = Math.abs(band.gain ?? 0) <= telling(band.centre ?? 0) && band.shape === 'round'
          return html`<li>
            <svg viewBox="0 0 96 58" aria-hidden="true">${bandDrawing(band, widest)}</svg>
            <div>
              <strong>${band.shape}</strong>${little ? nothing : html`, ${text.readings.gain(lengthText(band.gain, u, true))}`}
              <span class="quiet-text">${both ? ofBoth(band.name) : band.name}: ${text.readings.fromTo(lengthText(band.from, u), lengthText(band.centre, u), lengthText(band.to, u))}</span>
            </div>
          </li>`
        })}
      </ul>
    </section>
    <section class="part" aria-labelledby="profile-title">
      <h2 id="profile-title">${text.readings.profile}</h2>
      <p class="quiet-text">${text.readings.profileHelp}</p>
      <ul class="shapes">
        ${strips.map(
          ({ of: strip, both }) =>
            html`<li>
              <svg viewBox="0 0 96 58" aria-hidden="true">${stripDrawing(strip, longest)}</svg>
              <div>
                <strong>${strip.profile}</strong>
                <span class="quiet-text">${both ? ofBoth(strip.name) : strip.name}: ${text.readings.bottomTop(lengthText(strip.bottom, u), lengthText(strip.top, u))}</span>
              </div>
            </li>`,
        )}
      </ul>
    </section>`
}

// ---- a band of one's own ----

function drawn(desk: Desk, kind: Signal<'level' | 'upright'>, reading: Reading): TemplateResult {
  const { store, text } = desk
  const t = text.readings
  const u = units(desk)
  const line = store.line.value
  const band = store.band.value
  const at = (name: string): Vec3 | undefined => reading.landmarks.find((mark) => mark.name === name)?.position
  const through = band && band.kind !== 'between' ? reading.landmarks.find((mark) => mark.position.every((x, i) => Math.abs(x - (band.at[i] ?? NaN)) < 1e-6))?.name : undefined
  const set = (how: 'level' | 'upright', name: string): void => {
    const place = at(name)
    kind.value = how
    if (place) store.band.value = { kind: how, at: place }
  }
  const places = reading.landmarks.map(({ name, position }) => ({ name, at: position }))
  const [from, to] = band?.kind === 'between' ? [placeOf(band.from, places), placeOf(band.to, places)] : [null, null]
  const ends = from && to ? ([from.there ? from.name : t.nearTo(from.name), to.there ? to.name : t.nearTo(to.name)] as const) : null
  const longest = Math.max(1e-3, ...reading.landmarks.map((mark) => mark.length ?? 0), ...(line?.points ?? []).map((p) => p[4]))
  const shown = line && line.points.length >= 8 ? linePoints(line, 300, 84) : null
  const word = line ? (line.kind === 'upright' ? line.profile : line.shape) : ''
  return html`<section class="part" aria-labelledby="drawn-title">
    <h2 id="drawn-title">${t.drawn}</h2>
    <p class="quiet-text">${t.drawnHelp}</p>
    <div class="drawn-ask">
      <button type="button" aria-pressed=${store.drawing.value ? 'true' : 'false'} @click=${() => void (store.drawing.value = !store.drawing.peek())}>${t.draw}</button>
    </div>
    <div class="drawn-ask">
      <select aria-label=${t.drawn} @change=${(e: Event) => set((e.target as HTMLSelectElement).value as 'level' | 'upright', through ?? 'occipital bone')}>
        ${(['level', 'upright'] as const).map((how) => html`<option value=${how} .selected=${kind.value === how}>${t[how]}</option>`)}
      </select>
      <span>${t.through}</span>
      <select aria-label=${t.place} @change=${(e: Event) => set(kind.value, (e.target as HTMLSelectElement).value)}>
        <option value="" .selected=${through === undefined}>–</option>
        ${reading.landmarks.map((mark) => html`<option value=${mark.name} .selected=${mark.name === through}>${mark.name}</option>`)}
      </select>
      ${band ? html`<button type="button" class="quiet" @click=${() => { store.band.value = null; store.drawing.value = false }}>${t.clear}</button>` : nothing}
    </div>
    ${band && line && !shown ? html`<p>${t.drawnNone}</p>` : nothing}
    ${shown && line && band
      ? html`${ends ? html`<p class="quiet-text">${t.drawnFrom(...ends)}</p>` : nothing}
          <p>${capital(t.drawnSays(word, lengthText(line.from, u), lengthText(line.centre, u), lengthText(line.to, u)))}.</p>
          <svg class="along" viewBox="-34 -8 340 112" role="img" aria-label=${t.drawnSays(word, lengthText(line.from, u), lengthText(line.centre, u), lengthText(line.to, u))}>
            ${[0, 0.5, 1].map((share) => svg`<path class="grid" d=${path([[0, 84 - 84 * share], [300, 84 - 84 * share]])} /><text x="-5" y=${88 - 84 * share} text-anchor="end">${lengthText(shown.longest * share, u).replace(/ (cm|in)$/, '')}</text>`)}
            ${shown.points.slice(1).map(([x, y], i) => {
              const [x0, y0] = shown.points[i] as readonly [number, number]
              const length = line.points[i]?.[4] ?? 0
              return svg`<path class="fill" fill=${cividis(length / longest)} d=${path([[x0, 84], [x0, y0], [x, y], [x, 84]], true)} />`
            })}
            <path class="hair" d=${path(shown.points)} />
            <text x="0" y="100">0</text><text x="300" y="100" text-anchor="end">${lengthText(line.way, u)}</text>
          </svg>`
      : nothing}
  </section>`
}

// ---- fallen ----

const LEVEL_LEAST = 0.005 // a share of ends that is worth a line

const UNDER = 0.16 // metres of neck and shoulder that are shown below the chin

// Hair and bust from two sides, to one scale and on one level.
function outlines(desk: Desk, fallen: Fallen): TemplateResult {
  const chin = fallen.levels['chin'] ?? null
  const mm = (points: readonly (readonly [number, number])[]) => points.map(([x, y]) => [x * 1000, y * 1000] as const)
  const sides = (['left', 'back'] as const).map((from) => {
    const hair = mm(seen(fallen.outlines[from], from))
    const bust = mm(seen(fallen.bust[from], from))
    const all = [...hair, ...bust].filter(([, y]) => chin === null || y < (UNDER - chin) * 1000)
    return { from, hair, bust, weight: weightSeen(fallen.around, from), xs: all.map(([x]) => x), ys: all.map(([, y]) => y) }
  })
  const ys = sides.flatMap((side) => side.ys)
  if (ys.length === 0) return html``
  const top = Math.min(...ys)
  const tall = Math.max(...ys) - top
  let right = 0
  const drawings = sides.map((side) => {
    const left = Math.min(...side.xs)
    const wide = Math.max(...side.xs) - left
    const at = right
    right += wide + 40
    return svg`<g transform=${`translate(${at - left} ${-top})`}>
      <path class="mass" d=${path(side.hair, true)} /><path class="bust" d=${path(side.bust, true)} /><path class="rim" d=${path(side.hair, true)} />
      ${side.weight.slice(1).map(({ at: end, sharpness }, i) => {
        const before = side.weight[i]?.at
        return before && Math.abs(end[0] - before[0]) < 0.03 ? svg`<path class="weight" stroke-width=${2 + 5 * sharpness} d=${path(mm([before, end]))} />` : svg``
      })}</g>
      <text x=${at + wide / 2} y=${tall + 22} text-anchor="middle">${desk.text.readings.views[side.from]}</text>`
  })
  return html`<svg class="outline" viewBox=${`-4 -4 ${right - 32} ${tall + 32}`} role="img" aria-label=${`${desk.text.readings.views.left}; ${desk.text.readings.views.back}`}>${drawings}</svg>`
}

function ends(desk: Desk, fallen: Fallen): TemplateResult {
  const t = desk.text.readings
  const most = Math.max(1e-6, ...fallen.ends.map((one) => one.share))
  const shown = fallen.ends.filter((one) => one.share >= LEVEL_LEAST)
  return html`<table class="ends">
    <caption>${t.endsBy}</caption>
    <tbody>
      ${shown.map(
        (one) =>
          html`<tr>
            <th scope="row">${one.below === '' ? t.above(one.above) : one.above === '' ? t.below(one.below) : t.between(one.below, one.above)}</th>
            <td class="figure">${Math.round(one.share * 100)} %</td>
            <td class="spread"><svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true"><rect class="range" y="2" height="6" width=${(one.share / most) * 100} /></svg></td>
          </tr>`,
      )}
    </tbody>
  </table>`
}

// Heights round the head, from the back over the left, the front and the right to the back.
function around(desk: Desk, fallen: Fallen): TemplateResult {
  const t = desk.text.readings
  const u = units(desk)
  const chin = fallen.levels['chin'] ?? 0
  const list = fallen.around.map((one) => ({ ...one, turn: (((Math.PI - one.bearing) % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI) })).sort((a, b) => a.turn - b.turn)
  const heights = list.flatMap((one) => [one.perimeter, one.weight].filter((y): y is number => y !== null))
  if (heights.length === 0) return html``
  const high = Math.max(...heights) + 0.005
  const low = Math.min(...heights) - 0.005
  const x = (turn: number) => (turn / (2 * Math.PI)) * 300
  const y = (height: number) => ((high - height) / (high - low)) * 84
  const weights = list.filter((one) => one.weight !== null)
  const least = Math.min(...weights.map((one) => one.weight as number))
  const most = Math.max(...weights.map((one) => one.weight as number))
  const from = (height: number) => t.fromChin(lengthText(Math.abs(height - chin), u), height >= chin)
  const said = weights.length ? t.aroundSays(from(least), from(most)) : t.none
  return html`<div class="round">
    <p class="caption">${t.around}</p>
    <svg class="along" viewBox="-34 -8 340 112" role="img" aria-label=${`${t.aroundHelp} ${said}`}>
      ${[0, 0.25, 0.5, 0.75, 1].map((share) => svg`<path class="grid" d=${path([[300 * share, 0], [300 * share, 84]])} />`)}
      ${[high, (high + low) / 2, low].map((height) => svg`<text x="-5" y=${y(height) + 4} text-anchor="end">${lengthText(height - chin, u).replace(/ (cm|in)$/, '')}</text>`)}
      ${list.slice(1).map((one, i) => {
        const before = list[i]
        if (!before || one.perimeter === null || before.perimeter === null) return svg``
        return svg`<path class="edge" d=${path([[x(before.turn), y(before.perimeter)], [x(one.turn), y(one.perimeter)]])} />`
      })}
      ${list.slice(1).map((one, i) => {
        const before = list[i]
        if (!before || one.weight === null || before.weight === null) return svg``
        return svg`<path class="weight" stroke-width=${1 + 4 * (one.sharpness ?? 0)} d=${path([[x(before.turn), y(before.weight)], [x(one.turn), y(one.weight)]])} />`
      })}
      ${[t.sides.back, t.sides.left, t.sides.front, t.sides.right, t.sides.back].map((side, i) => svg`<text x=${75 * i} y="100" text-anchor=${i === 0 ? 'start' : i === 4 ? 'end' : 'middle'}>${side}</text>`)}
    </svg>
    <p class="quiet-text">${said} ${t.aroundHelp}</p>
  </div>`
}

function falls(desk: Desk): TemplateResult {
  const t = desk.text.readings
  const u = units(desk)
  const fallen = desk.store.fallen.value
  if (!fallen)
    return html`<section class="part" aria-labelledby="falls-title">
      <h2 id="falls-title">${t.falls}</h2>
      <p class="quiet-text">${t.fallsWaiting}</p>
    </section>`
  return html`<section class="part" aria-labelledby="falls-title">
    <h2 id="falls-title">${t.falls}</h2>
    ${outlines(desk, fallen)}
    <table class="falls">
      <thead>
        <tr>
          <th scope="col"><span class="unseen">${t.place}</span></th>
          <th scope="col">${t.weight}</th>
          <th scope="col">${t.perimeter}</th>
        </tr>
      </thead>
      <tbody>
        ${fallen.sides
          .filter((side) => side.hairs > 0)
          .map(
            (side) =>
              html`<tr>
                <th scope="row">${t.sides[side.side]}</th>
                <td>
                  ${side.weight === null ? t.none : html`${side.weight_words}${side.sharpness_word === '' || side.sharpness === null ? nothing : html`<span class="quiet-text">${t.sharpness(side.sharpness_word, String(Math.round(side.sharpness * 100)))}</span>`}`}
                </td>
                <td>${side.perimeter_words || lengthText(side.perimeter, u)}</td>
              </tr>`,
          )}
      </tbody>
    </table>
    ${around(desk, fallen)} ${ends(desk, fallen)}
    <dl class="facts">
      ${fact(t.width, lengthText(fallen.width.breadth, u))} ${fact(t.depth, lengthText(fallen.depth.breadth, u))} ${fact(t.thickness, lengthText(fallen.thickness, u))}
    </dl>
    ${fallen.not_at_rest > 0 ? html`<p class="quiet-text">${t.notAtRest(fallen.not_at_rest)}</p>` : nothing}
  </section>`
}

// ---- the panel ----

export function mountReadings(root: HTMLElement, store: Store, text: Text): Panel {
  const body = document.createElement('div')
  body.className = 'readings-body'
  const status = document.createElement('p')
  status.className = 'unseen'
  status.setAttribute('role', 'status')
  const frame = document.createElement('div')
  frame.className = 'panel-frame'
  frame.append(body, status)
  root.append(frame)
  const desk: Desk = { store, text, said: signal('') }
  const kind = signal<'level' | 'upright'>('level')
  const drawnAll = effect(() => {
    const reading = store.reading.value
    const in_ = units(desk)
    render(
      reading
        ? html`${warnings(desk, reading)} ${inShort(desk, reading)} ${lengths(desk, reading)} ${sections(desk, reading)} ${guard([reading, in_], () => shapes(desk, reading))}
            ${drawn(desk, kind, reading)} ${guard([store.fallen.value, in_], () => falls(desk))}`
        : html`<p class="quiet-text">${text.readings.waiting}</p>`,
      body,
    )
    status.textContent = desk.said.value
  })
  return {
    dispose() {
      drawnAll()
      frame.remove()
    },
  }
}
