// The head on the screen: puts the picture, what stands round it and what is drawn over it together, and lets the store
// move them.
import { computed, effect, signal } from '@preact/signals-core'
import { BufferAttribute, BufferGeometry, GLSL3, Mesh, RawShaderMaterial, Scene, Vector3 } from 'three'
import type { Cut, Fallen, Panel, Vec3, Want } from '../core/messages'
import { momentOf, turnOf, turns } from '../play/moments'
import { planText, type Plan } from '../state/plan'
import type { Look, Side, Store } from '../state/store'
import type { Text } from '../text/en'
import { atFrame } from './atframe'
import { bandOn, type BandDrawn } from './band'
import { makeBar } from './bar'
import { makeBust } from './bust'
import { approach, axes, bounded, distanceFor, distanceToSee, FIRST, fromSide, near, rayThrough, zoomed, type Eye } from './camera'
import { linear, parse } from './colour'
import { makeDragging } from './dragging'
import { solidFragment, solidVertex } from './glsl'
import { listen } from './hand'
import { handlesOf, shownPanel } from './handles'
import { holdCurves } from './hold'
import { lifted, makeLines, type Ink } from './lines'
import { makeFilm } from '../play/film'
import { makeMane } from './mane'
import { makeMarks, NOTHING, type Marked, type Written } from './marks'
import { rootOf, sidesOf, spots } from './parts'
import { hairAt, meets, nearestRoot } from './pick'
import { scaleFor, stretched, type Scale } from './scale'
import { makeSeen } from './seen'
import { listenForBands } from './sketch'
import { makeSpace } from './space'
import { makeStage, type Stats } from './stage'
import { makeStrands, paletteTexture } from './strands'
import type { Units } from '../plan/number'
import { weightOn, type WeightPiece } from './weight'
import { lengthText } from '../readings/figure'
import { dot, sub, unit } from './vec'

export interface View {
  readonly stats: Stats
  dispose(): void
}

const HALF = 0.07 // seconds in which half of a way of the eye is gone
const MIDDLE: Vec3 = [0, 0.02, -0.01] // of the head, about


export function mountView(root: HTMLElement, store: Store, text: Text): View {
  const canvas = document.createElement('canvas')
  canvas.className = 'head-picture'
  canvas.tabIndex = 0
  canvas.setAttribute('role', 'application')
  canvas.setAttribute('aria-roledescription', text.view.picture)
  const help = document.createElement('p')
  help.className = 'unseen'
  help.id = 'head-help'
  help.textContent = text.view.help
  canvas.setAttribute('aria-describedby', help.id)
  const tip = document.createElement('div')
  tip.className = 'head-tip'
  tip.setAttribute('role', 'status')
  tip.hidden = true
  const hint = document.createElement('p')
  hint.className = 'head-hint'
  hint.setAttribute('role', 'status')
  root.append(canvas, help, tip, hint)

  const seen = makeSeen()
  const space = makeSpace()
  const bust = makeBust(seen, space)
  const hair = makeStrands(seen, space)
  const scene = new Scene()
  scene.add(bust.mesh, hair.mesh)
  hair.mesh.visible = false
  const calm = matchMedia('(prefers-reduced-motion: reduce)')

  // ---- lines on the scalp, hidden by the head alone ----
  const solid = new Mesh(new BufferGeometry(), new RawShaderMaterial({ glslVersion: GLSL3, vertexShader: solidVertex, fragmentShader: solidFragment, colorWrite: false }))
  solid.frustumCulled = false
  const outlines = makeLines(1.1, false)
  const strong = makeLines(2.4, false)

  let eye: Eye = FIRST
  let goal: Eye = FIRST
  let placed = false
  const stage = makeStage(
    canvas,
    seen,
    {
      scene,
      before(renderer) {
        bust.light(renderer)
        if (hair.mesh.visible) hair.light(renderer)
        if (clips.mesh.visible) clips.light(renderer)
      },
      ready(level, round, quick, pixel) {
        for (const strands of [hair, clips]) strands.detail(level)
        hair.uniforms.round.value = quick ? 0 : round
        hair.uniforms.wide.value = clips.uniforms.wide.value = (quick ? [0.0006, 0.00042, 0.0003] : [0.0005, 0.00034, 0.00024])[level.each === 1 ? 0 : level.each === 2 ? 1 : 2]
        hair.uniforms.least.value = (quick ? 1.0 : 0.6) * pixel
        const frame = { wide: stage.size.wide, high: stage.size.high }
        marksOver.place(eye, frame)
        for (const set of [outlines, strong]) set.frame(frame.wide, frame.high, Math.min(2, devicePixelRatio))
      },
    },
    () => eye,
  )
  stage.over.add(solid, ...outlines.meshes, ...strong.meshes)
  solid.visible = false
  const clips = makeStrands(seen, space)
  clips.mesh.visible = false
  scene.add(clips.mesh)
  const mane = makeMane(hair, bust, space, () => stage, () => calm.matches)

  const film = makeFilm(store, mane, hair, clips, stage)

  // ---- the eye ----
  const aspect = () => stage.size.wide / Math.max(1, stage.size.high)
  let moving = false
  const go = (to: Eye): void => {
    goal = bounded(to)
    if (calm.matches) {
      eye = goal
      stage.change()
      return
    }
    if (moving) return
    moving = true
    stage.move((seconds) => {
      eye = approach(eye, goal, seconds, HALF)
      if (near(eye, goal)) eye = goal
      moving = eye !== goal
      if (!moving) mark()
      return moving
    })
  }
  const byHand = (to: Eye): void => {
    tip.hidden = true
    if (store.look.peek().side !== 'free' && (to.yaw !== goal.yaw || to.pitch !== goal.pitch)) store.look.value = { ...store.look.peek(), side: 'free' }
    go(to)
  }
  // Nearer or farther, so that all hair is seen, unless a hand has chosen how near.
  let fitted = 0
  const fit = (): void => {
    if (!mane.goal || !placed || Math.abs(goal.distance / fitted - 1) > 0.03) return
    const next = distanceToSee(aspect(), mane.goal)
    if (next < 1.02 * fitted && next > 0.9 * fitted) return // nothing is cut off, and little would be won
    fitted = next
    go({ ...goal, distance: next })
  }
  const fromThere = (side: Side): Eye => ({ ...fromSide(goal, side, aspect()), distance: fitted || distanceFor(aspect()) })
  const lookFrom = (side: Side): void => {
    if (store.look.peek().side === side) go(fromThere(side))
    else store.look.value = { ...store.look.peek(), side }
  }
  const size = new ResizeObserver(() => {
    const { clientWidth, clientHeight } = root
    if (clientWidth < 2 || clientHeight < 2) return
    stage.resize(clientWidth, clientHeight)
    if (placed) {
      // As much of the head is seen as before, unless a hand has chosen how near.
      const byItself = Math.abs(goal.distance / fitted - 1) < 0.03
      fitted = mane.goal ? distanceToSee(aspect(), mane.goal) : distanceFor(aspect())
      if (byItself) eye = goal = { ...goal, distance: fitted }
      return
    }
    placed = true
    const side = store.look.peek().side
    fitted = distanceFor(aspect())
    eye = goal = side === 'free' ? { ...FIRST, distance: fitted } : fromSide(FIRST, side, aspect())
    fit()
  })
  size.observe(root)
  const frame = () => ({ wide: stage.size.wide, high: stage.size.high })
  const stopListening = listen(canvas, frame, () => goal, byHand, { side: lookFrom, tap })

  // ---- over it ----
  const ray = (x: number, y: number) => rayThrough(eye, frame(), x, y)
  const scalpAt = (x: number, y: number): Vec3 | null => (store.bust.peek() ? meets(ray(x, y), store.bust.peek() as NonNullable<typeof store.bust.value>) : null)
  const stopDrawing = listenForBands(canvas, store, {
    scalp(event) {
      const { x, y } = canvas.getBoundingClientRect()
      return scalpAt(event.clientX - x, event.clientY - y)
    },
    places: () => store.cut.peek()?.landmarks ?? [],
  })
  const dragging = makeDragging(store, text, {
    eye: () => eye,
    frame,
    corner: () => canvas.getBoundingClientRect(),
    scalp: scalpAt,
  })
  const marksOver = makeMarks(root, text, { begin: dragging.begin, key: dragging.key, leave: dragging.leave, choose: (name) => void (store.chosen.value = { kind: 'landmark', name }) })
  const bar = makeBar(root, store, text, { look: lookFrom, nearer: (factor) => byHand(zoomed(goal, factor)) })

  let tappedAt = -1 // the panel that a tap chose: the eye stays where it is then
  // What set the length of the hair that is seen there.
  function tap(x: number, y: number): void {
    const { cut, shape } = mane
    const made = store.bust.peek()
    if (!cut || !shape || !made) return
    const on = meets(ray(x, y), made)
    let hit = store.look.peek().hair === 'off' ? -1 : hairAt(eye, frame(), shape, cut.hairs, x, y)
    if (hit < 0 && on) {
      const root_ = nearestRoot(cut.roots, on)
      const [a, b] = [rootOf(cut, root_), on]
      if (Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) < 0.008) hit = root_
    }
    if (hit < 0) {
      tip.hidden = true
      store.chosen.value = { kind: 'nothing' }
      return
    }
    const units = store.plan.peek().units as Units
    const panel = cut.panels[cut.setBy[hit] ?? -1]
    const parts = [document.createElement('b'), document.createElement('span')] as const
    parts[0].textContent = `${text.view.tapped(lengthText(cut.lengths[hit] ?? 0, units), cut.sectionNames[cut.sections[hit] ?? 0] ?? '')}`
    parts[1].textContent = ` ${panel ? `${text.view.setBy(stepName(panel.step), panel.panel)}, ` : `${text.view.notCut}, `}${text.view.was(lengthText(cut.before[hit] ?? 0, units))}`
    tip.replaceChildren(...parts)
    tip.hidden = false
    const right = x > stage.size.wide - 280
    tip.style.transform = `translate(${right ? x - 14 : x + 14}px, ${Math.min(y + 10, stage.size.high - 90)}px)${right ? ' translateX(-100%)' : ''}`
    tappedAt = panel ? cut.panels.indexOf(panel) : -1
    if (panel) store.chosen.value = { kind: 'step', at: panel.step - 1, panel: panel.panel - 1 }
  }
  const stepName = (step: number): string => {
    const name = store.plan.peek().steps?.[step - 1]?.['name']
    return typeof name === 'string' && name ? name : text.view.step(step)
  }

  type Inks = Readonly<Record<'ink' | 'casing' | 'mark', Ink>>
  let inksNow: Inks | null = null // to ask for a style costs a layout of the page
  const inks = (): Inks => {
    const style = getComputedStyle(root)
    const of = (name: string): readonly [number, number, number] => {
      const rgb = parse(style.getPropertyValue(name)) ?? [0, 0, 0]
      return rgb.map((c) => (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055)) as unknown as readonly [number, number, number]
    }
    return (inksNow ??= { ink: { colour: of('--ink'), cover: 0.9 }, casing: { colour: of('--paper'), cover: 0.75 }, mark: { colour: of('--mark'), cover: 1 } })
  }

  // ---- from the store ----
  let planOf = store.plan.peek()
  const side = computed(() => store.look.value.side)
  const state = computed(() => store.look.value.hair)
  const units = computed(() => store.plan.value.units as Units)
  const newest = computed(() => planText(store.plan.value))
  const panelIndex = computed(() => {
    const cut = store.cut.value
    const panel = cut && shownPanel(cut, store.chosen.value)
    return cut && panel ? cut.panels.indexOf(panel) : -1
  })
  const played = computed(() => store.playing.value !== null)
  const playedStep = computed(() => (store.playing.value?.step ?? -1) + 1)
  const playedPanel = computed(() => {
    const cut = store.cut.value, playing = store.playing.value
    return cut && playing ? (turns(cut)[turnOf(cut, turns(cut), playing)] ?? -1) : -1
  })
  // The shape at rest of the very hair that is shown.
  const atRest = signal<{ readonly fallen: Fallen | null; readonly cut: Cut | null }>({ fallen: null, cut: null })
  const weight = computed((): readonly WeightPiece[] => {
    const { fallen, cut } = atRest.value
    const fall = store.fall.value
    if (!store.look.value.weight || state.value !== 'fallen' || played.value || !fallen || !fall?.finished || cut !== store.cut.value) return []
    return weightOn(fallen.around, fall)
  })
  // Where hair lies or is held another way, the hair along a band would be a second head of hair.
  const standsOut = computed(() => state.value === 'cut' || state.value === 'off')
  const band = computed((): BandDrawn | null => {
    const line = store.line.value, cut = store.cut.value
    return store.band.value && line && cut && line.points.length >= 2 && !played.value ? bandOn(line, cut) : null
  })
  let scale: Scale | null = null
  let hairBefore: Look['hair'] | null = null // a band was drawn
  const stops = [
    effect(() => void (atRest.value = { fallen: store.fallen.value, cut: store.cut.peek() })),
    effect(() => {
      const made = store.bust.value
      if (!made) return
      const geometry = new BufferGeometry()
      geometry.setAttribute('position', new BufferAttribute(made.points, 4))
      geometry.setIndex(new BufferAttribute(made.corners, 1))
      solid.geometry.dispose()
      solid.geometry = geometry
      space.head(made.field)
      hair.uniforms.palette.value ??= paletteTexture(made.colours, linear)
      mane.air()
    }),
    effect(() => {
      const made = store.bust.value, finer = store.finer.value
      if (!made) return
      bust.set(finer?.head === made.head ? finer : made)
      stage.change()
    }),
    effect(() => {
      if (side.value !== 'free' && placed) go(fromThere(side.value))
      canvas.setAttribute('aria-label', text.view.described(text.view.from[side.value], text.view.states[state.value].toLowerCase()))
    }),
    effect(() => bar.draw(store.look.value)),
    effect(() => {
      if (store.plan.value !== planOf) {
        tip.hidden = true
        stage.wait()
      }
      planOf = store.plan.value
    }),
    effect(() => {
      const cut = store.cut.value
      const fall = store.fall.value, as = store.held.value
      if (!cut || played.value) return
      mane.show({ cut, fall, held: as, state: state.value, panel: panelIndex.value })
      // What a hand has left behind does not move the eye: only hair of the newest plan does.
      if (!dragging.busy && cut.plan === newest.peek() && (state.value !== 'fallen' || fall?.id === cut.id)) fit()
    }),
    effect(() => {
      const chosen = store.chosen.value
      const next: Want = {
        kind: 'want',
        held: state.value === 'held' || played.value ? 'all' : panelIndex.value >= 0 ? panelIndex.value : 'none',
        step: played.value ? playedStep.value : chosen.kind === 'step' ? chosen.at + 1 : 0,
        uncut: played.value,
      }
      const was = store.want.peek()
      if (was.held !== next.held || was.step !== next.step || was.uncut !== next.uncut) store.want.value = next
    }),
    effect(() => {
      const cut = store.cut.value
      const on = store.look.value.lengths
      if (!cut) return
      scale = on ? (scale && dragging.busy ? stretched(scale, cut.lengths, units.value) : scaleFor(cut.lengths, units.value)) : null
      ;(hair.uniforms.lengths.value as Vector3).set(scale ? 1 : 0, scale?.low ?? 0, scale?.high ?? 1)
      const colours = store.bust.value?.colours
      if (colours) bar.scale(scale, units.value, colours)
      stage.change()
    }),
    effect(() => film.show(store.playing.value)),
    effect(() => {
      const index = playedPanel.value
      const panel = store.cut.peek()?.panels[index]
      if (panel) follow(panel, 1.25)
    }),
    effect(() => {
      const cut = store.cut.peek()
      const index = panelIndex.value
      const panel = index === tappedAt ? undefined : cut?.panels[index]
      if (panel && !dragging.busy && !played.peek()) follow(panel, 1)
      tappedAt = -1
    }),
    effect(() => {
      const on = store.drawing.value
      root.classList.toggle('drawing', on)
      hint.textContent = on ? text.view.drawBand : ''
      if (on) tip.hidden = true
      // A band is drawn on the bare scalp, where its own hair is seen.
      const look = store.look.peek()
      if (on && !standsOut.peek()) {
        hairBefore = look.hair
        store.look.value = { ...look, hair: 'off' }
      } else if (!on && hairBefore) {
        if (look.hair === 'off') store.look.value = { ...look, hair: hairBefore }
        hairBefore = null
      }
    }),
    // A landmark that is chosen is seen.
    effect(() => {
      const chosen = store.chosen.value
      const place = chosen.kind === 'landmark' ? store.cut.peek()?.landmarks.find((l) => l.name === chosen.name) : undefined
      if (place && !played.peek()) turnTo(place.at)
    }),
    atFrame(drawOutlines),
    atFrame(mark),
  ]

  // A line is drawn where sections or panels are to be told apart; strong where it is the chosen one.
  function drawOutlines(): void {
    const look = store.look.value, chosen = store.chosen.value, cut = store.cut.value
    const sections = store.lines.value
    const panels = store.panelLines.value
    const playing = played.value
    const index = playing ? playedPanel.value : panelIndex.value
    const { ink, casing, mark: marked } = inks()
    const plain: Float32Array[] = [], bold: Float32Array[] = []
    const pick = (lines: typeof sections, want: (a: number, b: number) => 'no' | 'plain' | 'bold') => {
      if (!lines) return
      for (let i = 0; i < lines.beside.length / 2; i++) {
        const how = want(lines.beside[2 * i] ?? -1, lines.beside[2 * i + 1] ?? -1)
        if (how !== 'no') (how === 'bold' ? bold : plain).push(lines.at.subarray(6 * i, 6 * i + 6))
      }
    }
    const pairs = chosen.kind === 'section' && cut ? sidesOf(store.plan.value, chosen.at).map(([a, b]) => [new Set(a), new Set(b)] as const) : []
    const name = (label: number): string => cut?.sectionNames[label] ?? ''
    if (look.sections || (chosen.kind === 'section' && !playing))
      pick(sections, (a, b) => (pairs.some(([one, other]) => (one.has(name(a)) && other.has(name(b))) || (one.has(name(b)) && other.has(name(a)))) ? 'bold' : 'plain'))
    const outlined = playing ? playedStep.value : chosen.kind === 'step' ? chosen.at + 1 : 0
    if (outlined > 0 && panels?.step === outlined) pick(panels, (a, b) => (a === index || b === index ? 'bold' : 'plain'))
    const join = (pieces: Float32Array[]): Float32Array => {
      const out = new Float32Array(pieces.reduce((sum, piece) => sum + piece.length, 0))
      let at = 0
      for (const piece of pieces) {
        out.set(piece, at)
        at += piece.length
      }
      return lifted(out, 0.0012, MIDDLE)
    }
    if (band.value) {
      bold.push(...band.value.scalp, ...(standsOut.value ? band.value.ends : []))
      if (standsOut.value) plain.push(...band.value.hairs)
    }
    const [fine, thick] = [join(plain), join(bold)]
    outlines.draw(fine, fine.length / 6, ink, casing)
    strong.draw(thick, thick.length / 6, marked, casing)
    solid.visible = plain.length + bold.length > 0
    stage.overlay()
  }

  function mark(): void {
    const look = store.look.value, chosen = store.chosen.value, cut = store.cut.value, plan = store.plan.value, as = store.held.value
    const made = store.bust.value
    if (!cut) return marksOver.set(NOTHING)
    if (store.playing.value) return markPlayed(cut, plan)
    const units = plan.units as Units
    const named = look.landmarks ? cut.landmarks : cut.landmarks.filter((l) => chosen.kind === 'landmark' && l.name === chosen.name)
    const panel = shownPanel(cut, chosen)
    const held = as && (as.panel < 0 || as.panel === panelIndex.value) ? as.at : null
    const { curves, words } = panel ? holdCurves(plan, cut, panel, held, text) : { curves: [], words: [] }
    const handles = handlesOf({ plan, cut, text, toward: axes(eye).toward, surface: (from, toward) => (made ? meets({ from, way: unit(toward) }, made) : null) }, chosen)
    const next: Marked = {
      landmarks: named.map((l) => ({ name: l.name, at: l.at, normal: unit([l.at[0] - MIDDLE[0], l.at[1] - MIDDLE[1], l.at[2] - MIDDLE[2]]), note: lengthText(l.length, units), chosen: chosen.kind === 'landmark' && chosen.name === l.name })),
      sections: look.sections ? spots(cut, (i) => cut.sections[i] ?? -1, (g) => cut.sectionNames[g] ?? '') : [],
      curves,
      words,
      read: chosen.kind === 'nothing' || chosen.kind === 'landmark' ? bandFigures(units) : [],
      weight: weight.value,
      weightSays,
      handles,
      behind: panel ? dot(panel.placeNormal, axes(eye).toward) < -0.25 : false,
    }
    marksOver.set(next)
    stage.overlay()
  }

  // The three lengths that the reading of the band tells, where they are.
  function bandFigures(units: Units): Written[] {
    const line = store.line.value, drawn = band.value
    if (!line || !drawn || line.centre === null) return []
    const last = line.points.length - 1
    return ([[0, line.from], [last >> 1, line.centre], [last, line.to]] as const).map(([i, length]) => ({
      at: (standsOut.value ? drawn.tips[i] : line.points[i]?.slice(0, 3)) as unknown as Vec3,
      text: lengthText(length, units),
      normal: drawn.normals[i] as Vec3,
    }))
  }

  function weightSays(piece: WeightPiece): string {
    const chin = store.fallen.peek()?.levels['chin']
    const up = piece.from[1] - (chin ?? 0)
    return typeof chin === 'number' ? text.view.weightAt(lengthText(Math.abs(up), store.plan.peek().units as Units), up >= 0) : text.view.shows.weight
  }

  // The eye goes round to a panel that is played or chosen, where it cannot be seen well: a little from the side, so that
  // one sees how high it is held.
  function follow(panel: Panel, back: number): void {
    const n = panel.normal
    const { toward } = axes(goal)
    if (Math.hypot(n[0], n[2]) < 0.2 || (dot(n, toward) > 0.25 && dot(n, toward) < 0.92)) return
    const around = Math.atan2(n[0], n[2])
    const aside = [around + 0.75, around - 0.75].map((yaw) => yaw + 2 * Math.PI * Math.round((goal.yaw - yaw) / (2 * Math.PI)))
    const yaw = aside.reduce((a, b) => (Math.abs(a - goal.yaw) <= Math.abs(b - goal.yaw) ? a : b))
    const distance = Math.max(goal.distance, back * distanceFor(aspect()))
    byHand({ ...goal, yaw, pitch: 0.12, distance })
    fitted = distance // what is seen then is fitted to what comes next
  }

  function turnTo(place: Vec3): void {
    const n = unit(sub(place, MIDDLE))
    if (dot(n, axes(goal).toward) > 0.3) return
    if (Math.hypot(n[0], n[2]) < 0.35) return byHand({ ...goal, pitch: 0.9 })
    const around = Math.atan2(n[0], n[2])
    const aside = [around + 0.5, around - 0.5].map((yaw) => yaw + 2 * Math.PI * Math.round((goal.yaw - yaw) / (2 * Math.PI)))
    byHand({ ...goal, yaw: aside.reduce((a, b) => (Math.abs(a - goal.yaw) <= Math.abs(b - goal.yaw) ? a : b)), pitch: 0.12 })
  }

  // While the cut is played: how the panel is held, once it is.
  function markPlayed(cut: Cut, plan: Plan): void {
    const panel = cut.panels[playedPanel.value], as = store.held.value
    const phase = store.playing.value ? momentOf(store.playing.value.share).phase : 'parted'
    const shows = panel && (phase === 'held' || phase === 'cut')
    const { curves, words } = shows ? holdCurves(plan, cut, panel, as?.at ?? null, text) : { curves: [], words: [] }
    marksOver.set({ ...NOTHING, curves, words, behind: panel ? dot(panel.placeNormal, axes(eye).toward) < -0.25 : false })
  }

  Object.assign(canvas, { stats: stage.stats }) // for whoever measures

  const light = new MutationObserver(() => {
    inksNow = null
    drawOutlines()
  })
  light.observe(document.documentElement, { attributes: true, attributeFilter: ['data-light'] })

  return {
    stats: stage.stats,
    dispose() {
      for (const stop of stops) stop()
      stopListening()
      stopDrawing()
      size.disconnect()
      light.disconnect()
      marksOver.dispose()
      bar.dispose()
      stage.dispose()
      canvas.remove()
      help.remove()
      tip.remove()
      hint.remove()
    },
  }
}
