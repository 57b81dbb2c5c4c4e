export function takeUpdate(): void {}
