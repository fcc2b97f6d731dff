// The page's module as JavaScript calls it.
import { readFileSync } from 'node:fs'

export async function load(file, goesOn = () => 1) {
  const module = await WebAssembly.compile(readFileSync(file))
  const { exports } = await WebAssembly.instantiate(module, { page: { goes_on: goesOn } })
  exports._initialize()
  return exports
}

// Memory can move whenever something is allocated, so a view is made where it is read.
export const view = (api, Type, address, count) => new Type(api.memory.buffer, address, count)

export function string(api, address) {
  const bytes = new Uint8Array(api.memory.buffer, address)
  return new TextDecoder().decode(bytes.subarray(0, bytes.indexOf(0)))
}

function write(api, page, text) {
  const bytes = typeof text === 'string' ? new TextEncoder().encode(text) : text
  const address = api.page_text(page, bytes.length)
  view(api, Uint8Array, address, bytes.length).set(bytes)
}

// Hands over a plan, text or bytes, and carries it out, or makes ready for lengths. Returns an lw_status.
export function predict(api, page, text, hairs = 0) {
  write(api, page, text)
  return api.page_predict(page, hairs, 0)
}

export function give(api, page, text, hairs = 0) {
  write(api, page, text)
  return api.page_give(page, hairs, 0)
}

// Every length that a plan gives as a number, so many times what it was: what a knob of the page does.
export function scaled(text, times) {
  const plan = JSON.parse(text)
  const scale = (of) => {
    if (typeof of?.length === 'number') of.length *= times
  }
  scale(plan.hair)
  for (const at of plan.hair?.lengths ?? []) scale(at)
  for (const step of plan.steps ?? []) scale(step.guide)
  return JSON.stringify(plan)
}
