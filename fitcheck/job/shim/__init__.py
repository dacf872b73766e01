"""Which shims give a bearing its setting, as one answer."""
