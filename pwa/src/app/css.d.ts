/** A style sheet imported by the room it belongs to. */
declare module '*.css';
