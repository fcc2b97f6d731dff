// Plans to begin with: those that come with lengthwise, all of them invented.
import type { Plan } from '../state/plan'

const found = import.meta.glob<Plan>('../../../examples/*.json', { eager: true, import: 'default' })

export const examples: readonly Plan[] = Object.values(found).filter(({ format }) => format === 'lengthwise plan')

export const empty = (title: string): Plan => ({
  format: 'lengthwise plan',
  version: 1,
  title,
  units: 'cm',
  head: { kind: 'adult' },
  hair: { length: 35 },
})
