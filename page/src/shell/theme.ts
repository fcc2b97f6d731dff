// Light or dark: as the device has it until somebody says otherwise, and that is remembered.
import { effect, signal, type Signal } from '@preact/signals-core'

export type Light = 'device' | 'light' | 'dark'
export const LIGHTS: readonly Light[] = ['device', 'light', 'dark']

const KEY = 'lengthwise.light'

export function startTheme(root: HTMLElement, storage: Storage): Signal<Light> {
  const kept = storage.getItem(KEY)
  const light = signal<Light>(LIGHTS.find((one) => one === kept) ?? 'device')
  effect(() => {
    storage.setItem(KEY, light.value)
    if (light.value === 'device') delete root.dataset['light']
    else root.dataset['light'] = light.value
  })
  return light
}
