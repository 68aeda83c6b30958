"""What was changed, by whom and when: kept so that nothing accepted is lost.

``store`` keeps revisions, signatures and accounts; ``desk`` is one hole being worked on;
``workspace`` is the folder of holes.
"""
