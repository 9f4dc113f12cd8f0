"""The app's server on one's own machine: loopback only, one secret a start, the record its store.

``desk`` and ``planner`` know nothing of HTTP; ``guard`` and ``app`` do. FastAPI and uvicorn are
imported here alone.
"""
