// Keeps what is chosen of a list in sight: the list moves, never the page.
export function inView(node: HTMLElement, chosen: boolean): { update: (chosen: boolean) => void } {
  const update = (chosen: boolean) => {
    const list = node.closest<HTMLElement>(".shelf");
    if (!chosen || !list) return;
    const [own, all] = [node.getBoundingClientRect(), list.getBoundingClientRect()];
    if (own.top < all.top || own.bottom > all.bottom) list.scrollTop += own.top - all.top - (all.height - own.height) / 2;
    if (own.left < all.left || own.right > all.right) list.scrollLeft += own.left - all.left - (all.width - own.width) / 2;
  };
  requestAnimationFrame(() => update(chosen));
  return { update };
}
