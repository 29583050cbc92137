"""The entrance for a web server. It does not open with settings that cannot be used: they would mean another storage, or no key."""

import os
import sys

from django.conf import settings
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "drawndose.department.settings")
if settings.CHOSEN.faults:
    sys.exit("\n".join(str(fault) for fault in settings.CHOSEN.faults))
application = get_wsgi_application()
