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

const RIPE = 200 // milliseconds from another shape to the shadow of it, which takes longer than the shape
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
  let last: Wanted | null = null
  let shape: Float32Array | null = null
  let from: Float32Array | null = null
  let to: Float32Array | null = null
  let now: Float32Array | null = null
  let share = 1
  let key = ''
  let playing = false
  let ripe = false // whether the shadow is that of a shape of these hairs
  let beside: Cut | null = null // whose sections say which hairs may go together
  let ripening: ReturnType<typeof setTimeout> | undefined

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

  // Room for a shape, two of each kind in turn, since the last one is still shown: new memory is dear.
  const rooms: Float32Array[] = []
  const turns = [0, 0]
  function room(kind: 0 | 1, size: number): Float32Array {
    const at = 2 * kind + (turns[kind] = 1 - (turns[kind] ?? 0))
    const own = rooms[at]
    return own?.length === size ? own : (rooms[at] = new Float32Array(size))
  }

  // As hair lies, which is asked for anew whenever anything changes.
  let lying: { readonly cut: Cut; readonly fall: Fall; readonly at: Float32Array } | null = null
  function lies(cut: Cut, fall: Fall | null): Float32Array | null {
    if (!fall || fall.nodes !== NODES || fall.at.length !== 3 * NODES * cut.hairs) return null
    if (lying?.cut !== cut || lying.fall !== fall) lying = { cut, fall, at: fall.id === cut.id ? fall.at : fallen(room(0, fall.at.length), cut, fall) }
    return lying.at
  }

  function shapeOf(wanted: Wanted): Float32Array | null {
    const { cut, fall, state } = wanted
    const rest = state === 'fallen' || state === 'held' ? lies(cut, fall) : null
    const as = wanted.held
    if (state === 'held') return as && as.panel < 0 && as.at.length === 3 * NODES * cut.hairs ? held(cut, as, rest ?? none(cut)) : null
    const base = state === 'off' ? none(cut) : state === 'cut' ? standing(cut) : rest
    if (!base || wanted.panel < 0 || !as || as.panel !== wanted.panel || as.at.length !== base.length) return base
    const out = room(1, base.length)
    out.set(base)
    for (let i = 0; i < cut.hairs; i++) {
      const row = 3 * NODES * i
      if (cut.setBy[i] !== wanted.panel || Number.isNaN(as.at[row] ?? NaN)) continue
      for (let k = row; k < row + 3 * NODES; k++) out[k] = as.at[k] ?? 0
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

  // Hair winds as it fell; what is held does not.
  function coilsOf({ cut, fall, panel, state }: Wanted): Float32Array | null {
    if (state !== 'fallen' || !fall?.coils) return null
    if (panel < 0) return fall.coils
    const coils = fall.coils.slice()
    for (let i = 0; i < cut.hairs; i++) if (cut.setBy[i] === panel) coils.fill(0, 2 * i, 2 * i + 2)
    return coils
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
  const isBare = (): boolean => last?.state === 'off' && last.panel < 0 && !playing
  function give(settled: boolean): void {
    if (!shape || !cut || !last) return
    strands.shape(shape)
    strands.mesh.visible = !(settled && isBare())
    bust.uniforms.grown.value = last.state === 'off' && !playing ? 1 - ease(share) : 1
    if (settled) ripening ??= setTimeout(ripen, ripe ? RIPE : 0)
  }
  // Which hairs go together, and how much hair there is in space.
  function ripen(): void {
    ripening = undefined
    if (!shape || !cut || playing || share < 1) return
    ripe = true
    if (!beside || !alikeIn(beside.sections, cut.sections, 1)) strands.neighbours(nearest(cut.roots, cut.sections))
    beside = cut
    strands.kin(shape)
    space.hair(isBare() ? null : shape, cut.hairs, (DENSITY * SCALP) / cut.hairs)
    stage().change()
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
    air: ripen,
    show(wanted) {
      const began = performance.now()
      if (!cut || cut.hairs !== wanted.cut.hairs || !alikeIn(cut.roots, wanted.cut.roots, 31)) {
        strands.grow(wanted.cut.lengths, nearest(wanted.cut.roots, wanted.cut.sections))
        beside = wanted.cut
        shape = null
        ripe = false
      } else strands.lengthen(wanted.cut.lengths)
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
      strands.wind(coilsOf(wanted))
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

// Whether two lists are the same, as far as every `step`th says.
function alikeIn(a: ArrayLike<number>, b: ArrayLike<number>, step: number): boolean {
  for (let i = 0; i < a.length; i += step) if (a[i] !== b[i]) return false
  return true
}
