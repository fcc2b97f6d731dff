import { describe, expect, it } from 'vitest'
import { commandOf } from '../src/shell/keys'
import { nextTab } from '../src/shell/tabs'

const key = (name: string, more: Partial<KeyboardEvent> = {}) => ({ key: name, ctrlKey: true, metaKey: false, shiftKey: false, altKey: false, ...more })

describe('keys', () => {
  it('undo and redo, whatever the device calls them', () => {
    expect(commandOf(key('z'))).toBe('undo')
    expect(commandOf(key('Z', { shiftKey: true }))).toBe('redo')
    expect(commandOf(key('y'))).toBe('redo')
    expect(commandOf(key('z', { ctrlKey: false, metaKey: true }))).toBe('undo')
    expect(commandOf(key('z', { ctrlKey: false }))).toBeNull()
    expect(commandOf(key('z', { altKey: true }))).toBeNull()
  })
})

describe('tabs', () => {
  const tabs = [{ id: 'a', name: '' }, { id: 'b', name: '' }, { id: 'c', name: '' }] as const
  it('go round by arrows', () => {
    expect(nextTab(tabs, 'c', 'ArrowRight')).toBe('a')
    expect(nextTab(tabs, 'a', 'ArrowLeft')).toBe('c')
    expect(nextTab(tabs, 'b', 'End')).toBe('c')
    expect(nextTab(tabs, 'b', 'x')).toBeNull()
  })
})
