// Frames. Something changed: a quick picture at once. Nothing changes: further pictures, each with other fine hairs and moved
// by part of a pixel, become one with it, until the picture is as fine as it gets. The next is not begun before the last
// has been drawn, so that the page stays quick however slow the drawing is; how much goes into one follows from how long they take.
import { Color, GLSL3, HalfFloatType, LinearFilter, NoBlending, RawShaderMaterial, RGBAFormat, Scene, WebGLRenderer, WebGLRenderTarget } from 'three'
import type { Eye } from './camera'
import { meanFragment, showFragment, wholeVertex } from './glsl'
import { LEVELS, nextLevel, type Level } from './pace'
import type { Seen } from './seen'
import { drawWhole } from './whole'

export const ROUNDS = 24 // pictures that become one

export interface Stats {
  frames: number
  level: number
  rounds: number // of the picture that is shown
  upload: number // ms of the last change: laying out and handing over
  submit: number // ms of the last frame: telling the processor
  draw: number // ms from then until it was drawn
  answered: number // ms from the last mark to the frame that shows it
}

export interface Layer {
  readonly scene: Scene
  ready(level: Level, round: number, moving: boolean, pixel: number): void // before a picture
  before(renderer: WebGLRenderer): void // once before the first picture of an eye and a shape
}

export interface Stage {
  readonly renderer: WebGLRenderer
  readonly over: Scene // lines over the picture
  readonly stats: Stats
  readonly size: { readonly wide: number; readonly high: number }
  resize(wide: number, high: number): void
  change(mark?: number): void // the picture is no longer true; `mark`: when what it will show came about
  overlay(): void // only the lines are not
  wait(): void // something is about to change: the picture need not become finer
  move(step: (seconds: number) => boolean): void // called before each frame while it returns true
  bright(k: number): void
  dispose(): void
}

// Evenly spread over a pixel: van der Corput in two bases.
export function jitter(round: number): readonly [number, number] {
  const part = (base: number): number => {
    let sum = 0
    for (let n = round, share = 1 / base; n > 0; n = Math.floor(n / base), share /= base) sum += (n % base) * share
    return sum
  }
  return [part(2) - 0.5, part(3) - 0.5]
}

export function makeStage(canvas: HTMLCanvasElement, seen: Seen, layer: Layer, eye: () => Eye): Stage {
  const renderer = new WebGLRenderer({ canvas, alpha: true, antialias: false, premultipliedAlpha: true, powerPreference: 'high-performance' })
  renderer.autoClear = false
  renderer.setClearColor(new Color(0), 0)
  const gl = renderer.getContext() as WebGL2RenderingContext
  const size = { wide: 1, high: 1 }
  const stats: Stats = { frames: 0, level: 1, rounds: 0, upload: 0, submit: 0, draw: 0, answered: 0 }
  const over = new Scene()
  const target = (depth: boolean, samples = 0) => new WebGLRenderTarget(1, 1, { format: RGBAFormat, type: HalfFloatType, depthBuffer: depth, samples, minFilter: LinearFilter, magFilter: LinearFilter })
  const targets = { quick: target(true), now: target(true), mean: [target(false), target(false)] as [WebGLRenderTarget, WebGLRenderTarget], over: target(true, 4) }
  const whole = (fragmentShader: string, uniforms: Record<string, { value: unknown }>) =>
    new RawShaderMaterial({ glslVersion: GLSL3, vertexShader: wholeVertex, fragmentShader, uniforms, blending: NoBlending, depthTest: false, depthWrite: false })
  const mean = whole(meanFragment, { before: { value: null }, now: { value: null }, share: { value: 1 } })
  const show = whole(showFragment, { picture: { value: null }, over: { value: null }, overlaid: { value: 0 }, bright: { value: 1 } })

  let round = 0 // pictures that are in the mean
  let stale = true // picture
  let staleOver = true
  let moving: ((seconds: number) => boolean)[] = []
  let last = 0
  let asked = 0
  let fence: WebGLSync | null = null
  let began = 0
  let mark = 0
  let still = 0 // when the last change was
  let disposed = false

  const uniform = (material: RawShaderMaterial, name: string, value: unknown) => {
    const at = material.uniforms[name]
    if (at) at.value = value
  }
  function fit(to: WebGLRenderTarget, wide: number, high: number): void {
    if (to.width !== wide || to.height !== high) to.setSize(wide, high)
  }

  function draw(quick: boolean): void {
    const level = LEVELS[stats.level] as Level
    const scale = quick ? Math.min(level.scale, devicePixelRatio) : devicePixelRatio
    const wide = Math.max(1, Math.round(size.wide * scale)), high = Math.max(1, Math.round(size.high * scale))
    const to = quick ? targets.quick : targets.now
    fit(to, wide, high)
    seen.look(eye(), size.wide / size.high)
    const [x, y] = quick ? [0, 0] : jitter(round + 1)
    seen.uniforms.jitter.value.set((2 * x) / wide, (2 * y) / high)
    if (round === 0) layer.before(renderer)
    layer.ready(level, round, quick, 2 * Math.tan((seen.camera.fov * Math.PI) / 360) / high)
    renderer.setRenderTarget(to)
    renderer.clear(true, true, false)
    renderer.render(layer.scene, seen.camera)
    let picture = to
    if (!quick) {
      const [a, b] = targets.mean
      fit(a, wide, high)
      fit(b, wide, high)
      uniform(mean, 'before', a.texture)
      uniform(mean, 'now', to.texture)
      uniform(mean, 'share', 1 / (round + 1))
      drawWhole(renderer, mean, b)
      targets.mean = [b, a]
      picture = b
      round++
    }
    present(picture, scale)
    stats.rounds = round
  }

  function present(picture: WebGLRenderTarget, scale: number): void {
    const some = over.children.some((child) => child.visible)
    if (some && staleOver) {
      const k = Math.min(2, Math.max(scale, devicePixelRatio))
      fit(targets.over, Math.round(size.wide * k), Math.round(size.high * k))
      const jitterWas = seen.uniforms.jitter.value.clone()
      seen.uniforms.jitter.value.set(0, 0)
      renderer.setRenderTarget(targets.over)
      renderer.clear(true, true, false)
      renderer.render(over, seen.camera)
      seen.uniforms.jitter.value.copy(jitterWas)
    }
    staleOver = false
    uniform(show, 'picture', picture.texture)
    uniform(show, 'over', targets.over.texture)
    uniform(show, 'overlaid', some ? 1 : 0)
    drawWhole(renderer, show, null)
  }

  function frame(time: number): void {
    asked = 0
    if (disposed || size.wide < 2) return
    if (fence) {
      const state = gl.clientWaitSync(fence, 0, 0)
      if (state === gl.TIMEOUT_EXPIRED) return ask()
      gl.deleteSync(fence)
      fence = null
      stats.draw = performance.now() - began
      if (mark) stats.answered = performance.now() - mark
      mark = 0
      stats.level = nextLevel(stats.level, stats.draw)
    }
    const seconds = last ? Math.min(0.35, (time - last) / 1000) : 1 / 60
    last = time
    if (moving.length) {
      moving = moving.filter((step) => step(seconds))
      touch()
    }
    const resting = performance.now() - still > 140 && !moving.length
    if (!stale && !staleOver && (!resting || round >= ROUNDS)) {
      if (round < ROUNDS || moving.length) ask()
      else last = 0
      return
    }
    const start = performance.now()
    if (stale && (!resting || round > 0)) round = 0
    const quick = !resting
    if (!stale && staleOver && round > 0) {
      seen.look(eye(), size.wide / size.high)
      present(targets.mean[0], devicePixelRatio)
    } else draw(quick)
    stale = false
    // What goes over the picture is not to wait for its shaders the day it is first shown.
    if (stats.frames++ === 0) {
      renderer.setRenderTarget(targets.over)
      renderer.compile(over, seen.camera)
    }
    stats.submit = performance.now() - start
    began = performance.now()
    fence = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0)
    gl.flush()
    ask()
  }
  function ask(): void {
    if (!asked && !disposed) asked = requestAnimationFrame(frame)
  }
  function touch(): void {
    stale = staleOver = true
    round = 0
    still = performance.now()
  }

  return {
    renderer,
    over,
    stats,
    size,
    resize(wide, high) {
      if (wide === size.wide && high === size.high) return
      size.wide = wide
      size.high = high
      renderer.setPixelRatio(devicePixelRatio)
      renderer.setSize(wide, high, false)
      touch()
      ask()
    },
    change(since) {
      if (since) mark = since
      touch()
      ask()
    },
    wait() {
      still = performance.now()
    },
    overlay() {
      staleOver = true
      ask()
    },
    move(step) {
      moving.push(step)
      ask()
    },
    bright(k) {
      uniform(show, 'bright', k)
      staleOver = true
      ask()
    },
    dispose() {
      disposed = true
      cancelAnimationFrame(asked)
      for (const to of [targets.quick, targets.now, ...targets.mean, targets.over]) to.dispose()
      renderer.dispose()
    },
  }
}
