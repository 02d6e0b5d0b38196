export function mount() {}
