// Which sections a part of the scalp was divided into, and where a section's name goes.
import type { Cut, Vec3 } from '../core/messages'
import type { Plan } from '../state/plan'
import { apart, unit } from './vec'

const swapped = (name: string): string => name.replaceAll(/\b(left|right)\b/g, (side) => (side === 'left' ? 'right' : 'left'))

function splits(plan: Plan): { split: string; into: readonly [string, string]; at: number }[] {
  return (plan.sections ?? []).flatMap((entry, at) => {
    const split = entry['split'], into = entry['into']
    if (typeof split !== 'string' || !Array.isArray(into) || typeof into[0] !== 'string' || typeof into[1] !== 'string') return []
    const own = { split, into: [into[0], into[1]] as const, at }
    return entry['mirror'] === true ? [own, { split: swapped(split), into: [swapped(into[0]), swapped(into[1])] as const, at }] : [own]
  })
}

export function leavesUnder(plan: Plan, part: string): string[] {
  const split = splits(plan).find((s) => s.split === part)
  return split ? split.into.flatMap((name) => leavesUnder(plan, name)) : [part]
}

// The sections to both sides of a parting, one pair for each of its mirrored halves.
export function sidesOf(plan: Plan, parting: number): readonly (readonly [readonly string[], readonly string[]])[] {
  return splits(plan).filter((s) => s.at === parting).map((s) => [leavesUnder(plan, s.into[0]), leavesUnder(plan, s.into[1])] as const)
}

export interface Spot {
  readonly name: string
  readonly at: Vec3
  readonly normal: Vec3
}

// The root of each group that lies nearest to the group's middle.
export function spots(cut: Cut, groupOf: (hair: number) => number, names: (group: number) => string): Spot[] {
  const sums = new Map<number, { x: number; y: number; z: number; n: number }>()
  for (let i = 0; i < cut.hairs; i++) {
    const group = groupOf(i)
    if (group < 0) continue
    const sum = sums.get(group) ?? { x: 0, y: 0, z: 0, n: 0 }
    sum.x += cut.roots[3 * i] ?? 0
    sum.y += cut.roots[3 * i + 1] ?? 0
    sum.z += cut.roots[3 * i + 2] ?? 0
    sum.n++
    sums.set(group, sum)
  }
  const best = new Map<number, { hair: number; far: number }>()
  for (let i = 0; i < cut.hairs; i++) {
    const group = groupOf(i)
    const sum = sums.get(group)
    if (!sum) continue
    const far = apart(rootOf(cut, i), [sum.x / sum.n, sum.y / sum.n, sum.z / sum.n])
    const now = best.get(group)
    if (!now || far < now.far) best.set(group, { hair: i, far })
  }
  return [...best].sort(([a], [b]) => a - b).map(([group, { hair }]) => ({ name: names(group), at: rootOf(cut, hair), normal: unit([cut.normals[3 * hair] ?? 0, cut.normals[3 * hair + 1] ?? 0, cut.normals[3 * hair + 2] ?? 0]) }))
}

export const rootOf = (cut: Cut, i: number): Vec3 => [cut.roots[3 * i] ?? 0, cut.roots[3 * i + 1] ?? 0, cut.roots[3 * i + 2] ?? 0]
