import { ChevronRight } from 'lucide-react';
import type { ReactNode } from 'react';
import { Button, Disclosure, DisclosurePanel, Heading } from 'react-aria-components';

interface MoreProps {
  readonly title: string;
  readonly children: ReactNode;
  readonly isOpenAtFirst?: boolean;
}

/** What can wait, one click away. */
export function More({ title, children, isOpenAtFirst = false }: MoreProps) {
  return (
    <Disclosure className="more" defaultExpanded={isOpenAtFirst}>
      <Heading level={3}>
        <Button slot="trigger" className="more-trigger">
          <ChevronRight size={18} aria-hidden="true" />
          {title}
        </Button>
      </Heading>
      <DisclosurePanel>
        <div className="more-inside">{children}</div>
      </DisclosurePanel>
    </Disclosure>
  );
}
