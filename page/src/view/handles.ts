// What of the chosen step or parting can be taken hold of in the picture, where, and what it does to the plan.
import type { Cut, Panel, Vec3 } from '../core/messages'
import { valueAt, withValue, type Path, type Plan, type Value } from '../state/plan'
import type { Chosen } from '../state/store'
import type { Text } from '../text/en'
import { alongPoints, placeAt, spoke, spokes, type Course, type PlaceValue } from './drags'
import { figureOf, inMetres, inUnit, keptLength, numberOf, type Units } from '../plan/number'
import { DEGREES, lengthGrain } from './grain'
import { add, apart, dot, sub, times, unit } from './vec'

interface Common {
  readonly id: string
  readonly name: string // what it is
  readonly at: Vec3
  readonly value: string // as it is said beside the handle
  readonly normal?: Vec3 // of the scalp it lies on: taken hold of only from where that is seen
}
export interface Slider extends Common {
  readonly kind: 'slider'
  readonly now: number
  readonly course: Course
  readonly say: (value: number) => string
  readonly put: (plan: Plan, value: number) => Plan
}
export interface Peg extends Common {
  readonly kind: 'peg' // a place on the scalp
  readonly put: (plan: Plan, at: Vec3, fine: boolean) => Plan
  readonly hop: (plan: Plan, way: 1 | -1) => Plan // to another landmark
  readonly say: (plan: Plan) => string
}
export type Handle = Slider | Peg

// The surface, for handles that lie on it: where a ray first meets it.
export type Surface = (from: Vec3, toward: Vec3) => Vec3 | null

export interface Scene {
  readonly plan: Plan
  readonly cut: Cut
  readonly surface: Surface
  readonly toward: Vec3 // to the eye
  readonly text: Text
}

const RADIANS = Math.PI / 180
const MIDDLE: Vec3 = [0, 0.02, -0.01] // of the head, about
const degrees = (value: number): string => `${Math.round(value * 10) / 10}°`

export const number = (value: Value | undefined, otherwise: number): number => {
  const said = numberOf(value)
  return Number.isNaN(said) ? otherwise : said
}

// The panel whose hold is shown for a step: the chosen one, or of its first side the middle one, or the nearest to it that cuts.
export function shownPanel(cut: Cut, chosen: Chosen): Panel | null {
  if (chosen.kind !== 'step') return null
  const all = cut.panels.filter((p) => p.step === chosen.at + 1)
  if (chosen.panel !== undefined) return all.find((p) => p.panel === (chosen.panel ?? 0) + 1) ?? all[all.length - 1] ?? null
  const side = all.filter((p) => p.section === all[0]?.section)
  const off = (p: Panel): number => Math.abs(side.indexOf(p) - (side.length >> 1))
  return side.filter((p) => p.cut > 0).sort((a, b) => off(a) - off(b))[0] ?? all[all.length >> 1] ?? null
}

// ---- a step ----

export const ARC = 0.055 // metres: radius of the arc

export interface Hold {
  readonly zero: Vec3
  readonly out: Vec3
  readonly angle: number // radians from zero
  readonly from: 'scalp' | 'plumb' | 'level'
}

export function holdOf(plan: Plan, panel: Panel): Hold {
  const hold = valueAt(plan, ['steps', panel.step - 1, 'hold']) as { readonly [key: string]: Value } | undefined
  if (hold?.['direction'] !== undefined) {
    const level = Math.hypot(panel.direction[0], panel.direction[2])
    const zero: Vec3 = level > 1e-3 ? [panel.direction[0] / level, 0, panel.direction[2] / level] : [0, 0, -1]
    return { zero, out: [0, 1, 0], angle: Math.asin(Math.max(-1, Math.min(1, panel.direction[1]))), from: 'level' }
  }
  const plumb = hold?.['from'] === 'plumb'
  return { ...spokes(panel.direction, panel.placeNormal, panel.elevation, plumb), angle: panel.elevation, from: plumb ? 'plumb' : 'scalp' }
}

function elevation({ plan, text }: Scene, panel: Panel, far: number): Slider {
  const { zero, out, angle, from } = holdOf(plan, panel)
  const path: Path = ['steps', panel.step - 1, 'hold']
  const course: Course = {
    at: (value) => add(panel.place, times(spoke(zero, out, value * RADIANS), far)),
    low: from === 'level' ? -90 : 0,
    high: from === 'level' ? 90 : 180,
    grain: DEGREES,
  }
  const now = from === 'level' ? Math.round((angle / RADIANS) * 10) / 10 : number(valueAt(plan, [...path, 'elevation']), 90)
  const bearing = Math.round(Math.atan2(zero[0], zero[2]) / RADIANS)
  return {
    kind: 'slider', id: 'elevation', name: from === 'level' ? text.view.handles.rise : text.view.handles.elevation,
    at: course.at(now), now, course, say: degrees, value: degrees(now),
    put: (to, value) => (from === 'level' ? withValue(to, [...path, 'direction'], { bearing, rise: value }) : withValue(to, [...path, 'elevation'], value)),
  }
}

// The panels of the same side, the one before it first; of a panel's bites the nearest, which is the one that it is carried to.
export function before(cut: Cut, panel: Panel): Panel[] {
  const nearest = new Map<number, Panel>()
  for (const p of cut.panels) {
    if (p.step !== panel.step || p.section !== panel.section || p.whole >= panel.whole) continue
    const known = nearest.get(p.whole)
    if (!known || apart(p.anchor, panel.anchor) < apart(known.anchor, panel.anchor)) nearest.set(p.whole, p)
  }
  return [...nearest.values()].sort((a, b) => b.whole - a.whole)
}

function carry({ plan, cut, text }: Scene, panel: Panel): Slider | null {
  const path: Path = ['steps', panel.step - 1, 'hold']
  const toward = valueAt(plan, [...path, 'toward'])
  const target = toward && typeof toward === 'object' ? (toward as { readonly [key: string]: Value }) : null
  let points: Vec3[]
  if (target?.['place'] !== undefined) {
    const place = cut.places.find((p) => p.of === 'hold' && p.which === panel.step - 1)
    if (!place) return null
    points = [panel.anchor, place.at]
  } else if (target?.['panel'] !== undefined) {
    const to = cut.panels.find((p) => p.step === panel.step && p.section === panel.section && p.whole === target['panel'])
    if (!to || to.whole === panel.whole) return null
    points = [panel.anchor, to.anchor]
  } else points = [panel.anchor, ...before(cut, panel).slice(0, 4).map((p) => p.anchor)]
  if (points.length < 2) return null
  const now = number(valueAt(plan, [...path, 'carry']), 0)
  const course: Course = { at: (value) => alongPoints(points, value), low: 0, high: Math.max(now, points.length - 1), grain: { coarse: 0.25, fine: 0.05 } }
  const say = (value: number): string => text.view.carried(value)
  return {
    kind: 'slider', id: 'carry', name: text.view.handles.carry, at: panel.place, now, course, say, value: say(now),
    put: (to, value) => withValue(to, [...path, 'carry'], value === 0 ? 'own' : value === 0.5 ? 'half' : value === 1 ? 'whole' : value),
  }
}

// The end of a line that lies in a direction, in the plan's words.
export function edgeOf(way: Vec3): 'top' | 'bottom' | 'front' | 'back' | 'left' | 'right' {
  const [x, y, z] = way.map(Math.abs) as [number, number, number]
  if (y >= x && y >= z) return way[1] > 0 ? 'top' : 'bottom'
  if (z >= x) return way[2] > 0 ? 'front' : 'back'
  return way[0] > 0 ? 'left' : 'right'
}

const EDGES: Readonly<Record<string, Vec3>> = { top: [0, 1, 0], bottom: [0, -1, 0], front: [0, 0, 1], back: [0, 0, -1], left: [1, 0, 0], right: [-1, 0, 0] }

// The finger line of a straight panel, from one end of its hair to the other.
export function fingerLine(panel: Panel): readonly [Vec3, Vec3] | null {
  const { line } = panel
  if (panel.follows || line.length < 4) return null
  const at = (i: number): Vec3 => add(panel.place, add(times(panel.direction, line[2 * i + 1] ?? 0), times(panel.finger, line[2 * i] ?? 0)))
  return [at(0), at(line.length / 2 - 1)]
}

function tilt({ plan, text, toward }: Scene, panel: Panel): Slider | null {
  const ends = fingerLine(panel)
  if (!ends) return null
  const path: Path = ['steps', panel.step - 1, 'line']
  const line = valueAt(plan, path)
  const end = dot(sub(ends[1], ends[0]), panel.parting) > 0 === dot(panel.parting, toward) > 0 ? 1 : 0
  const way = times(panel.parting, end === 1 ? 1 : -1) // along the parting toward the end that is held
  const first = panel.line[0] ?? 0, last = panel.line[panel.line.length - 2] ?? 0
  const reach = Math.max(0.012, Math.abs(end === 1 ? last : first))
  const middle = add(panel.place, times(panel.direction, lineAt(panel, 0)))
  const tilted = line && typeof line === 'object' ? (line as { readonly [key: string]: Value }) : null
  const size = tilted ? number(tilted['tilt'], 0) : 0
  const longer = tilted ? EDGES[String(tilted['longer'])] : undefined
  const now = longer && dot(longer, way) < 0 ? -size : size
  const course: Course = {
    at: (value) => add(middle, times(spoke(way, panel.direction, value * RADIANS), reach)),
    low: -75, high: 75, grain: DEGREES,
  }
  const say = (value: number): string => (Math.abs(value) < 0.05 ? text.view.straight : text.view.tilted(degrees(Math.abs(value)), edgeOf(value > 0 ? way : times(way, -1))))
  return {
    kind: 'slider', id: 'tilt', name: text.view.handles.tilt, at: course.at(now), now, course, say, value: say(now),
    put: (to, value) => withValue(to, path, Math.abs(value) < 0.05 ? 'straight' : { tilt: Math.abs(value), longer: edgeOf(value > 0 ? way : times(way, -1)) }),
  }
}

// Height of a panel's line over its place, at a place along it.
export function lineAt(panel: Panel, s: number): number {
  const { line } = panel
  for (let i = 2; i < line.length; i += 2) {
    const a = line[i - 2] ?? 0, b = line[i] ?? 0
    if (s <= b || i + 2 >= line.length) return (line[i - 1] ?? 0) + ((s - a) / Math.max(1e-9, b - a)) * ((line[i + 1] ?? 0) - (line[i - 1] ?? 0))
  }
  return line[1] ?? 0
}

// ---- the guide ----

// The panel that a measured length of a step was cut to: its own, or the first of those it was handed on from.
export function measuredPanel(plan: Plan, cut: Cut, panel: Panel): Panel | null {
  if (valueAt(plan, ['steps', panel.step - 1, 'guide', 'length']) === undefined) return null
  let at = panel
  for (let next = cut.panels[at.guide]; next && next.step === panel.step && next !== at; next = cut.panels[at.guide]) at = next
  return at.line.length >= 2 ? at : null
}

// Its hair in the hand, from where it is held to the fingers.
export const guideHair = (panel: Panel): readonly [Vec3, Vec3] => [panel.place, add(panel.place, times(panel.direction, lineAt(panel, 0)))]

// The end of that hair: farther out is longer, by as much as it is farther out.
function guide({ plan, cut, text }: Scene, panel: Panel): Slider | null {
  const measured = measuredPanel(plan, cut, panel)
  if (!measured) return null
  const path: Path = ['steps', panel.step - 1, 'guide', 'length']
  const units = plan.units as Units
  const now = number(valueAt(plan, path), NaN)
  if (Number.isNaN(now)) return null
  const [, end] = guideHair(measured)
  const grain = lengthGrain(units)
  const course: Course = {
    at: (value) => add(end, times(measured.direction, inMetres(value - now, units) / measured.factor)),
    low: Math.min(now, grain.coarse), high: now + inUnit(0.15, units), grain,
  }
  const say = (value: number): string => `${figureOf(value, 'length', units)} ${units}`
  return {
    kind: 'slider', id: 'guide', name: text.view.handles.guide, at: end, now, course, say, value: say(now),
    put: (to, value) => withValue(to, path, keptLength(value, units)),
  }
}

// ---- places ----

function peg({ cut, text }: Scene, id: string, name: string, path: Path, at: Vec3, plan: Plan): Peg {
  const read = (from: Plan): PlaceValue => {
    const value = valueAt(from, path)
    if (!value || typeof value !== 'object' || Array.isArray(value)) return String(value)
    const way = value as { readonly [key: string]: Value }
    return { from: String(way['from']), to: String(way['to']), at: number(way['at'], 0) }
  }
  const was = read(plan)
  const put = (to: Plan, value: PlaceValue) => withValue(to, path, value as unknown as Value)
  return {
    kind: 'peg', id, name, at, normal: unit(sub(at, MIDDLE)), value: text.view.place(was),
    say: (of) => text.view.place(read(of)),
    put: (to, p, fine) => put(to, placeAt(p, was, cut.landmarks, fine)),
    hop: (to, way) => {
      const names = cut.landmarks.map((l) => l.name)
      const i = names.indexOf(typeof was === 'string' ? was : was.from)
      return put(to, names[(i + way + names.length) % names.length] ?? was)
    },
  }
}

// ---- a parting ----

function heightOf(scene: Scene, at: number): Vec3 | null {
  return scene.cut.places.find((p) => p.of === 'parting' && p.which === at && p.nth === 0)?.at ?? null
}

function parting(scene: Scene, at: number): Handle[] {
  const { plan, text, surface, toward, cut } = scene
  const path: Path = ['sections', at, 'parting']
  const value = valueAt(plan, path)
  if (!value || typeof value !== 'object') return []
  const of = value as { readonly [key: string]: Value }
  const units = plan.units as Units
  const metres = (v: number) => inMetres(v, units)
  const grain = lengthGrain(units)
  const say = (v: number): string => `${figureOf(v, 'length', units)} ${units}`
  const slider = (id: string, name: string, key: string, now: number, at: (v: number) => Vec3, reach: number): Slider => ({
    kind: 'slider', id, name, now, say, value: say(now), at: at(now),
    course: { at: remembered(at), low: -inUnit(reach, units), high: inUnit(reach, units), grain },
    put: (to, v) => withValue(to, [...path, key], v === 0 && key !== 'centre' ? undefined : keptLength(v, units)),
  })
  if (of['centre'] !== undefined) {
    const front = toward[2] > -0.2
    const on = (v: number): Vec3 => {
      const x = metres(v)
      return surface([x, 0.5, front ? 0.045 : -0.06], [0, -1, 0]) ?? [x, 0.1, 0]
    }
    return [slider('centre', text.view.handles.centre, 'centre', number(of['centre'], 0), on, 0.06)]
  }
  if (of['level'] !== undefined) {
    const base = heightOf(scene, at)
    if (!base) return []
    const now = number(of['raise'], 0)
    const y = base[1]
    const level = Math.hypot(toward[0], toward[2])
    const side: Vec3 = level > 0.1 ? [toward[0] / level, 0, toward[2] / level] : [0, 0, -1]
    const on = (v: number): Vec3 => surface([side[0] * 0.4, y + metres(v), side[2] * 0.4 - 0.01], [-side[0], 0, -side[2]]) ?? [side[0] * 0.08, y + metres(v), side[2] * 0.08]
    return [slider('raise', text.view.handles.raise, 'raise', now, on, 0.06), peg(scene, 'place-0', text.view.handles.place, [...path, 'level'], base, plan)]
  }
  if (of['upright'] !== undefined) {
    const base = heightOf(scene, at)
    if (!base) return []
    const z = base[2]
    const side = toward[0] >= 0 ? 1 : -1
    const on = (v: number): Vec3 => surface([side * 0.3, 0.36, z + metres(v)], [-side * 0.64, -0.768, 0]) ?? [side * 0.06, 0.1, z + metres(v)]
    return [slider('forward', text.view.handles.forward, 'forward', number(of['forward'], 0), on, 0.06), peg(scene, 'place-0', text.view.handles.place, [...path, 'upright'], base, plan)]
  }
  const key = of['through'] !== undefined ? 'through' : of['chain'] !== undefined ? 'chain' : ''
  if (!key) return []
  return cut.places
    .filter((p) => p.of === 'parting' && p.which === at)
    .map((p) => peg(scene, `place-${p.nth}`, text.view.handles.nth(p.nth + 1), [...path, key, p.nth], p.at, plan))
}

// Curves on the surface take time to find: each point is found once.
function remembered(at: (v: number) => Vec3): (v: number) => Vec3 {
  const known = new Map<number, Vec3>()
  return (v) => {
    const key = Math.round(v * 40) / 40
    const there = known.get(key) ?? at(key)
    known.set(key, there)
    return there
  }
}

export function handlesOf(scene: Scene, chosen: Chosen): Handle[] {
  if (chosen.kind === 'section') return parting(scene, chosen.at)
  const panel = shownPanel(scene.cut, chosen)
  if (!panel) return []
  // Two that lie together cannot be told apart.
  const length = guide(scene, panel)
  const reach = 1.35 * ARC
  const out: Handle[] = [elevation(scene, panel, length && apart(length.at, add(panel.place, times(panel.direction, reach))) < 0.012 ? 0.8 * ARC : reach)]
  const carried = carry(scene, panel)
  const turned = tilt(scene, panel)
  if (carried) out.push(carried)
  if (turned) out.push(turned)
  if (length) out.push(length)
  for (const p of scene.cut.places.filter((p) => p.which === panel.step - 1)) {
    if (p.of === 'hold') out.push(peg(scene, 'toward', scene.text.view.handles.toward, ['steps', p.which, 'hold', 'toward', 'place'], p.at, scene.plan))
  }
  return out
}

