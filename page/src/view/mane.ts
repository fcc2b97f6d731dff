// The hair that is drawn: which shape it is to have by what the store says, and how it gets there from the one it has.
import { Vector3 } from 'three'
import type { BustMesh } from './bust'
import type { Cut, Fall, Held } from '../core/messages'
import type { Look } from '../state/store'
import { hairBody } from './colour'
import { nearest } from './near'
import { between, ease, fallen, held, NODES, none, standing } from './shapes'
import type { Space } from './space'
import type { Stage } from './stage'
import type { Strands } from './strands'

const CHANGE = 0.7 // seconds from one state of hair to another
const DENSITY = 2e6 // real hairs to a square metre
const SCALP = 0.065 // square metres, about
const PALE = 0.3 // how far hair that is not meant steps back

export interface Wanted {
  readonly cut: Cut
  readonly fall: Fall | null
  readonly held: Held | null
  readonly state: Look['hair']
  readonly panel: number // whose hair is held, by its index; -1 none
}

export interface Mane {
  show(wanted: Wanted): void
  // A shape from elsewhere, and where another panel moves a shape in which it stands apart; null: back to what is wanted.
  play(shape: Float32Array | null, apart: Float32Array | null, lengths: Float32Array | null): void
  readonly shape: Float32Array | null
  readonly goal: Float32Array | null // the shape that it comes to
  readonly cut: Cut | null
  air(): void // the head's grid is new
}

export function makeMane(strands: Strands, bust: BustMesh, space: Space, stage: () => Stage, calm: () => boolean): Mane {
  let cut: Cut | null = null
  let lies: Cut | null = null // the cut that lies as the last fall says
  let last: Wanted | null = null
  let shape: Float32Array | null = null
  let from: Float32Array | null = null
  let to: Float32Array | null = null
  let now: Float32Array | null = null
  let share = 1
  let key = ''
  let playing = false

  colour()
  function colour(): void {
    const low = hairBody(1.9, 0.14), high = hairBody(0.72, 0.13)
    const set = (name: 'castLow' | 'castHigh' | 'onceLow' | 'onceHigh', rgb: readonly [number, number, number]) => (strands.uniforms[name].value as Vector3).set(...rgb)
    set('castLow', low.cast)
    set('castHigh', high.cast)
    set('onceLow', low.once)
    set('onceHigh', high.once)
    bust.uniforms.roots.value.set(0.7 * 0.29 + 0.3 * high.cast[0], 0.7 * 0.235 + 0.3 * high.cast[1], 0.7 * 0.19 + 0.3 * high.cast[2])
  }

  function shapeOf(wanted: Wanted): Float32Array | null {
    const { cut, fall, state } = wanted
    const rest = fall && fall.nodes === NODES && fall.at.length === 3 * NODES * cut.hairs ? fallen(cut, fall, lies) : null
    const as = wanted.held
    if (state === 'held') return as && as.panel < 0 && as.at.length === 3 * NODES * cut.hairs ? held(cut, as, rest ?? none(cut)) : null
    const base = state === 'off' ? none(cut) : state === 'cut' ? standing(cut) : rest
    if (!base || wanted.panel < 0 || !as || as.panel !== wanted.panel || as.at.length !== base.length) return base
    const out = base.slice()
    for (let i = 0; i < cut.hairs; i++) {
      const row = 3 * NODES * i
      if (cut.setBy[i] === wanted.panel && !Number.isNaN(as.at[row] ?? NaN)) out.set(as.at.subarray(row, row + 3 * NODES), row)
    }
    return out
  }

  function toneOf(wanted: Wanted): Float32Array {
    const { cut, panel, state } = wanted
    const tone = new Float32Array(2 * cut.hairs)
    for (let i = 0; i < cut.hairs; i++) {
      const own = cut.setBy[i] === panel
      tone[2 * i] = state === 'off' && !own ? 0 : 1
      tone[2 * i + 1] = panel >= 0 && !own ? PALE : 0
    }
    return tone
  }

  function lay(t: number): void {
    if (!to || !cut || !last) return
    if (t >= 1 || !from || from.length !== to.length) shape = to
    else {
      now = now?.length === to.length ? now : new Float32Array(to.length)
      for (let i = 0; i < cut.hairs; i++) between(now, from, to, i, ease(t))
      shape = now
    }
    give(t >= 1)
  }
  function give(settled: boolean): void {
    if (!shape || !cut || !last) return
    strands.shape(shape)
    if (settled) strands.kin(shape)
    const bare = last.state === 'off' && last.panel < 0 && settled && !playing
    space.hair(bare ? null : shape, cut.hairs, (DENSITY * SCALP) / cut.hairs)
    strands.mesh.visible = !bare
    bust.uniforms.grown.value = last.state === 'off' && !playing ? 1 - ease(share) : 1
  }

  return {
    get shape() {
      return shape
    },
    get goal() {
      return to
    },
    get cut() {
      return cut
    },
    air: () => give(true),
    show(wanted) {
      const began = performance.now()
      if (!cut || !sameRoots(cut, wanted.cut)) {
        strands.grow(wanted.cut.lengths, nearest(wanted.cut.roots, wanted.cut.sections))
        shape = null
      } else strands.lengthen(wanted.cut.lengths)
      if (wanted.fall?.id === wanted.cut.id) lies = wanted.cut
      cut = wanted.cut
      last = wanted
      if (playing) return
      const next = shapeOf(wanted)
      if (!next) return
      const nextKey = `${wanted.state} ${wanted.panel}`
      const change = key !== nextKey && shape !== null
      key = nextKey
      to = next
      strands.tone(toneOf(wanted))
      strands.wind(wanted.state === 'fallen' && wanted.panel < 0 ? (wanted.fall?.coils ?? null) : null)
      if (change && !calm()) {
        from = shape?.slice() ?? null
        share = 0
        stage().move((seconds) => {
          if (key !== nextKey || playing) return false
          share = Math.min(1, share + seconds / CHANGE)
          lay(share)
          return share < 1
        })
      } else {
        if (change) share = 1
        if (share >= 1) lay(1)
      }
      stage().stats.upload = performance.now() - began
      stage().change(began)
    },
    play(at, apart, lengths) {
      if (!cut || !last) return
      if (!at || !lengths) {
        if (!playing) return
        playing = false
        share = 1
        key = ''
        strands.lengthen(cut.lengths)
        this.show(last)
        return
      }
      if (!playing) {
        const tone = new Float32Array(2 * cut.hairs)
        for (let i = 0; i < cut.hairs; i++) tone[2 * i] = 1
        strands.tone(tone)
        strands.wind(null)
      }
      playing = true
      shape = at
      strands.lengthen(lengths)
      strands.shape(at)
      strands.mesh.visible = true
      bust.uniforms.grown.value = 1
      if (!apart) return
      strands.kin(apart)
      space.hair(apart, cut.hairs, (DENSITY * SCALP) / cut.hairs)
    },
  }
}

const sameRoots = (a: Cut, b: Cut): boolean => {
  if (a.hairs !== b.hairs) return false
  for (let i = 0; i < a.roots.length; i += 31) if (a.roots[i] !== b.roots[i]) return false
  for (let i = 0; i < a.hairs; i++) if (a.sections[i] !== b.sections[i]) return false
  return true
}
