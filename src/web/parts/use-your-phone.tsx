import { Link } from '@tanstack/react-router';

/** Phones and tablets offer their camera; on a computer a photo is a file. */
export const hasCamera = globalThis.matchMedia?.('(pointer: coarse)').matches === true;

/** Where a photo is wanted on a computer: the way to take it with a phone, which is paired first. */
export function UseYourPhone() {
  if (hasCamera) return null;
  return (
    <Link to="/settings/$page" params={{ page: 'devices' }}>
      Use your phone
    </Link>
  );
}
