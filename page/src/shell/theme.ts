// Light or dark: as the device has it, and changes it, until somebody says otherwise, and that is remembered. The styles know only
// which of the two it is.
import { computed, effect, signal, type Signal } from '@preact/signals-core'

export type Light = 'device' | 'light' | 'dark'
export const LIGHTS: readonly Light[] = ['device', 'light', 'dark']

const KEY = 'lengthwise.light'

export function startTheme(root: HTMLElement, storage: Storage): Signal<Light> {
  const kept = storage.getItem(KEY)
  const light = signal<Light>(LIGHTS.find((one) => one === kept) ?? 'device')
  const device = matchMedia('(prefers-color-scheme: dark)')
  const darkDevice = signal(device.matches)
  device.addEventListener('change', () => void (darkDevice.value = device.matches))
  const now = computed(() => (light.value === 'device' ? (darkDevice.value ? 'dark' : 'light') : light.value))
  effect(() => storage.setItem(KEY, light.value))
  effect(() => void (root.dataset['light'] = now.value))
  return light
}
