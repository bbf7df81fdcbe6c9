namespace VibeCheck.Logs.Text;

/// <summary>Bytes already read, then the rest of the stream they came from.</summary>
internal sealed class ChainedStream(ReadOnlyMemory<byte> first, Stream rest) : Stream
{
    private int _taken;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        int left = first.Length - _taken;
        if (left == 0)
        {
            return rest.Read(buffer);
        }

        int count = Math.Min(left, buffer.Length);
        first.Span.Slice(_taken, count).CopyTo(buffer);
        _taken += count;
        return count;
    }

    public override void Flush() { }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            rest.Dispose();
        }

        base.Dispose(disposing);
    }
}
