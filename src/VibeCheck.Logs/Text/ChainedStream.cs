namespace VibeCheck.Logs.Text;

/// <summary>Bytes already read, followed by the rest of the stream from which they came.</summary>
internal sealed class ChainedStream(ReadOnlyMemory<byte> first, Stream rest) : ForwardStream
{
    private int _taken;

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

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            rest.Dispose();
        }

        base.Dispose(disposing);
    }
}
