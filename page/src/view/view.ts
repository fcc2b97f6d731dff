// The head on the screen: what the store knows becomes shapes, and the eye follows the hand.
import { effect } from '@preact/signals-core'
import { Scene, Vector3 } from 'three'
import type { Cut } from '../core/messages'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { makeBust } from './bust'
import { approach, bounded, distanceFor, FIRST, fromSide, near, type Eye } from './camera'
import { hairBody, linear } from './colour'
import { listen } from './hand'
import { nearest } from './near'
import { makeSeen } from './seen'
import { between, ease, fallen, held, NODES, none, standing } from './shapes'
import { makeSpace } from './space'
import { makeStage, type Stats } from './stage'
import { makeStrands, paletteTexture } from './strands'

export interface View {
  readonly stats: Stats
  dispose(): void
}

const HALF = 0.07 // seconds in which half of a way of the eye is gone
const CHANGE = 0.7 // seconds from one state of hair to another
const REAL = 0.0000750 // metres across a hair
const DENSITY = 2e6 // real hairs to a square metre where a plan does not say
const SCALP = 0.065 // square metres, about

export function mountView(root: HTMLElement, store: Store, text: Text): View {
  const canvas = document.createElement('canvas')
  canvas.className = 'head-picture'
  canvas.tabIndex = 0
  root.append(canvas)
  void text

  const seen = makeSeen()
  const space = makeSpace()
  const bust = makeBust(seen, space)
  const hair = makeStrands(seen, space)
  const scene = new Scene()
  scene.add(bust.mesh, hair.mesh)
  hair.mesh.visible = false

  let eye: Eye = FIRST
  let goal: Eye = FIRST
  const stage = makeStage(
    canvas,
    seen,
    {
      scene,
      before: (renderer) => hair.mesh.visible && hair.light(renderer),
      ready(level, round, quick, pixel) {
        hair.detail(level)
        hair.uniforms.round.value = quick ? 0 : round
        hair.uniforms.wide.value = quick ? 0.00042 : 0.00024
        hair.uniforms.least.value = (quick ? 1.0 : 0.55) * pixel
      },
    },
    () => eye,
  )
  const calm = matchMedia('(prefers-reduced-motion: reduce)')
  const go = (to: Eye): void => {
    goal = bounded(to)
    if (calm.matches) {
      eye = goal
      stage.change()
      return
    }
    stage.move((seconds) => {
      if (goal === eye) return false
      eye = approach(eye, goal, seconds, HALF)
      if (near(eye, goal)) eye = goal
      return eye !== goal
    })
  }
  const size = new ResizeObserver(() => {
    const { clientWidth, clientHeight } = root
    stage.resize(clientWidth, clientHeight)
  })
  size.observe(root)
  const stopListening = listen(canvas, () => ({ wide: stage.size.wide, high: stage.size.high }), () => goal, go)

  colourHair()
  function colourHair(): void {
    const low = hairBody(1.9, 0.14), high = hairBody(0.75, 0.13)
    ;(hair.uniforms.castLow.value as Vector3).set(...low.cast)
    ;(hair.uniforms.castHigh.value as Vector3).set(...high.cast)
    ;(hair.uniforms.onceLow.value as Vector3).set(...low.once)
    ;(hair.uniforms.onceHigh.value as Vector3).set(...high.once)
    bust.uniforms.roots.value.set(0.75 * 0.29 + 0.3 * high.cast[0], 0.75 * 0.235 + 0.3 * high.cast[1], 0.75 * 0.19 + 0.3 * high.cast[2])
  }

  // ---- shapes ----
  let roots: Cut | null = null // whose roots are drawn
  let shape: Float32Array | null = null
  let fallOf: Cut | null = null // the cut that lies as the last fall says

  const stops = [
    effect(() => {
      const made = store.bust.value
      if (!made) return
      bust.set(made)
      space.head(made.field)
      hair.uniforms.palette.value ??= paletteTexture(made.colours, linear)
      if (shape && roots) space.hair(shape, roots.hairs, realHairs(roots))
      stage.change()
    }),
    effect(() => {
      const { side } = store.look.value
      if (side !== 'free') go(fromSide(goal, side, stage.size.wide / stage.size.high))
    }),
    effect(() => {
      const cut = store.cut.value
      const fall = store.fall.value
      const { hair: state } = store.look.value
      if (cut && fall && fall.id === cut.id) fallOf = cut
      if (cut) showHair(cut, state)
    }),
  ]
  const realHairs = (cut: Cut): number => (DENSITY * SCALP) / cut.hairs

  function goalShape(cut: Cut, state: string): Float32Array | null {
    const fall = store.fall.value
    const rest = fall && fall.nodes === NODES && fall.at.length === 3 * NODES * cut.hairs ? fallen(cut, fall, fallOf) : null
    if (state === 'off') return none(cut)
    if (state === 'cut') return standing(cut)
    const as = store.held.value
    if (state === 'held') return as && as.panel < 0 && as.id === cut.id ? held(cut, as, rest ?? none(cut)) : null
    return rest
  }

  let from: Float32Array | null = null
  let to: Float32Array | null = null
  let state = ''
  let share = 1
  function showHair(cut: Cut, next: string): void {
    const began = performance.now()
    if (!roots || !sameRoots(roots, cut)) {
      hair.grow(cut.lengths, nearest(cut.roots, cut.sections))
      shape = null
    } else hair.lengthen(cut.lengths)
    roots = cut
    const wanted = goalShape(cut, next)
    if (!wanted) return
    const change = state !== next && shape !== null
    state = next
    to = wanted
    if (change && !calm.matches) {
      from = shape?.slice() ?? null
      share = 0
      stage.move((seconds) => {
        share = Math.min(1, share + seconds / CHANGE)
        lay(share)
        return share < 1
      })
    } else if (share >= 1) lay(1)
    stage.stats.upload = performance.now() - began
    stage.change(began)
  }
  function lay(t: number): void {
    if (!to || !roots) return
    if (t >= 1 || !from) shape = to
    else {
      const now = new Float32Array(to.length)
      for (let i = 0; i < roots.hairs; i++) between(now, from, to, i, ease(t))
      shape = now
    }
    hair.shape(shape)
    if (t >= 1) hair.kin(shape)
    space.hair(state === 'off' && t >= 1 ? null : shape, roots.hairs, realHairs(roots))
    hair.mesh.visible = !(state === 'off' && t >= 1)
    bust.uniforms.grown.value = state === 'off' ? 1 - t : 1
  }

  void REAL, distanceFor
  Object.assign(window, { view: { stats: stage.stats } })
  return {
    stats: stage.stats,
    dispose() {
      for (const stop of stops) stop()
      stopListening()
      size.disconnect()
      stage.dispose()
      canvas.remove()
    },
  }
}

const sameRoots = (a: Cut, b: Cut): boolean =>
  a.hairs === b.hairs && a.roots[0] === b.roots[0] && a.roots[1] === b.roots[1] && a.roots[3 * (a.hairs >> 1)] === b.roots[3 * (b.hairs >> 1)] && same(a.sections, b.sections)
const same = (a: Int16Array, b: Int16Array): boolean => a.length === b.length && a.every((x, i) => x === b[i])
