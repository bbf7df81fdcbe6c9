namespace VibeCheck.Cli;

/// <summary>Standard output. Where it is full or closed, that is reported as a fault of the output, not of the tool.</summary>
/// <param name="inner">The system's stream; null where the process was started without one.</param>
internal sealed class ResultStream(Stream? inner) : Stream
{
    public override bool CanRead => false;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override void Flush()
    {
        if (inner is not null)
        {
            Guarded(stream => stream.Flush());
        }
    }

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count)
    {
        if (count > 0)
        {
            Guarded(stream => stream.Write(buffer, offset, count));
        }
    }

    private void Guarded(Action<Stream> act)
    {
        if (inner is null)
        {
            throw new OutputFaultException(
                "standard output is closed, so the result cannot be shown. Leave it open, or send it to a file or to /dev/null."
            );
        }

        try
        {
            act(inner);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ObjectDisposedException)
        {
            throw new OutputFaultException(
                $"standard output cannot be written ({e.Message.TrimEnd('.')}). Send the result to a place that has room.",
                e
            );
        }
    }
}
