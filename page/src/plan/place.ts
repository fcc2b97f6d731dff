// Where a fault belongs: the step, section or part of the plan that its place names.
import type { Fault } from '../core/messages'
import type { Plan } from '../state/plan'
import { stepName } from './edit'

export type Belongs = { readonly kind: 'step' | 'section'; readonly at: number } | { readonly kind: 'plan'; readonly key: string }

export function belongs(fault: Fault, plan: Plan): Belongs {
  const indexed = /^(steps|sections)\[(\d+)\]/.exec(fault.place)
  if (indexed) return { kind: indexed[1] === 'steps' ? 'step' : 'section', at: Number(indexed[2]) }
  const at = (plan.steps ?? []).findIndex((_, i) => stepName(plan, i) === fault.place)
  if (at >= 0) return { kind: 'step', at }
  const section = (plan.sections ?? []).findIndex((s) => s['split'] === fault.place || (Array.isArray(s['into']) && (s['into'] as unknown[]).includes(fault.place)))
  if (section >= 0) return { kind: 'section', at: section }
  return { kind: 'plan', key: fault.place.split('.')[0] ?? '' }
}
